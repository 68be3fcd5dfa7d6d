package main

import (
	"github.com/spf13/cobra"

	"windingroom/internal/store"
)

func (a *app) migrate() *cobra.Command {
	return &cobra.Command{
		Use:   "migrate",
		Short: "Bring the database to the newest migration",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			cfg, err := a.configuration("")
			if err != nil {
				return err
			}
			db, err := store.Open(c.Context(), cfg.Database)
			if err != nil {
				return err
			}
			defer db.Close()
			from, to, err := db.Migrate(c.Context())
			if err != nil {
				return err
			}
			if from == to {
				a.say("the database is at migration %d already", to)
			} else {
				a.say("brought the database from migration %d to %d", from, to)
			}
			return nil
		},
	}
}
