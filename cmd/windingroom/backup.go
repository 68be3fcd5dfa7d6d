package main

import (
	"os"

	"github.com/spf13/cobra"

	"windingroom/internal/store"
)

func (a *app) backup() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:   "backup --out FILE",
		Short: "Write a consistent copy of the database, also while the server runs",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if out == "" {
				return usagef("--out is missing: the file to write")
			}
			cfg, err := a.configuration("")
			if err != nil {
				return err
			}
			db, err := store.Open(c.Context(), cfg.Database)
			if err != nil {
				return err
			}
			defer db.Close()
			if err := db.Backup(c.Context(), out); err != nil {
				return err
			}
			info, err := os.Stat(out)
			if err != nil {
				return err
			}
			a.say("wrote %s, %d bytes; windingroom restore puts it back", out, info.Size())
			return nil
		},
	}
	c.Flags().StringVar(&out, "out", "", "the file to write; an earlier backup there is replaced")
	return c
}

func (a *app) restore() *cobra.Command {
	var replace bool
	c := &cobra.Command{
		Use:   "restore FILE",
		Short: "Put a backup in the place of the database; it is verified before and after",
		Args:  takes(1, 1, "one file"),
		RunE: func(c *cobra.Command, args []string) error {
			cfg, err := a.configuration("")
			if err != nil {
				return err
			}
			kept, err := store.Restore(c.Context(), args[0], cfg.Database, replace)
			if err != nil {
				return err
			}
			a.say("restored %s; every invariant of stock and plan holds", args[0])
			if kept != "" {
				a.say("the database before is kept as %s", kept)
			}
			return nil
		},
	}
	c.Flags().BoolVar(&replace, "replace", false, "put it in the place of the database that is there")
	return c
}
