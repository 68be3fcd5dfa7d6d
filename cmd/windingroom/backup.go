package main

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"windingroom/internal/store"
)

func (a *app) backup() *cobra.Command {
	var out string
	var replace bool
	c := &cobra.Command{
		Use:   "backup --out FILE",
		Short: "Write a consistent copy of the database, also while the server runs, and try it out",
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
			if err := db.Backup(c.Context(), out, replace); err != nil {
				return err
			}
			broken, err := store.CheckBackup(c.Context(), out)
			if err != nil {
				return fmt.Errorf("%s is written and cannot be restored: %w", out, err)
			}
			if len(broken) > 0 {
				return fmt.Errorf("%s is written and breaks %d invariants, as windingroom verify lists them, the first: %s: %s: %s", out, len(broken),
					broken[0].Invariant, broken[0].Subject, broken[0].Detail)
			}
			info, err := os.Stat(out)
			if err != nil {
				return err
			}
			a.say("wrote %s, %d bytes; windingroom restore puts it back", out, info.Size())
			return nil
		},
	}
	c.Flags().StringVar(&out, "out", "", "the file to write")
	c.Flags().BoolVar(&replace, "replace", false, "put it in the place of an earlier backup")
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
	c.Flags().BoolVar(&replace, "replace", false, "put it in the place of the database that is there; one in PostgreSQL is not kept")
	return c
}
