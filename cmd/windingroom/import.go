package main

import (
	"context"
	"errors"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"windingroom/internal/intake"
	"windingroom/internal/workshop"
)

func (a *app) importFolder() *cobra.Command {
	var check bool
	c := &cobra.Command{
		Use:   "import DIR",
		Short: "Take over a folder of CSV files, all of them or nothing",
		Args:  takes(1, 1, "one folder"),
		RunE: func(c *cobra.Command, args []string) error {
			if info, err := os.Stat(args[0]); err != nil || !info.IsDir() {
				return usagef("%s is not a folder that can be read", args[0])
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				report, err := shop.Import(ctx, os.DirFS(args[0]), check)
				var unreadable *fs.PathError
				if errors.As(err, &unreadable) {
					return usage(err)
				}
				if err != nil {
					var problems intake.Problems
					if a.json && errors.As(err, &problems) {
						if err := a.printJSON(importBody{Problems: problemLines(problems)}); err != nil {
							return err
						}
					}
					return err
				}
				if a.json {
					return a.printJSON(importBody{Checked: check, Changed: report.Changes(), Files: report.Counts, Ignored: append([]string{}, report.Ignored...), Unsaid: append([]string{}, report.Unsaid...), Problems: []string{}})
				}
				for _, name := range report.Ignored {
					a.say("passed over %s: not the name of an import file", name)
				}
				for _, alloy := range report.Unsaid {
					a.say("alloys.csv says nothing of nickel at the surface of %s: answers and sheets will say so, and to treat it as if there were; an optional column nickel (yes or no) says it", alloy)
				}
				for _, f := range report.Counts {
					a.say("%-14s %6d added %6d changed %6d already here", f.File, f.Added, f.Changed, f.Unchanged)
				}
				switch {
				case !report.Changes():
					a.say("nothing to change: everything is already here")
				case check:
					a.say("checked only: nothing was written")
				default:
					a.say("imported")
				}
				return nil
			})
		},
	}
	c.Flags().BoolVar(&check, "check", false, "only validate, write nothing")
	a.jsonFlag(c)
	return c
}

// importBody is what import --json prints.
type importBody struct {
	Checked  bool           `json:"checked"`
	Changed  bool           `json:"changed"`
	Files    []intake.Count `json:"files"`
	Ignored  []string       `json:"ignored"`
	Unsaid   []string       `json:"nickel_unsaid"` // alloys of which nobody says whether there is nickel at their surface
	Problems []string       `json:"problems"`
}

func problemLines(problems intake.Problems) []string {
	lines := make([]string, len(problems))
	for i, p := range problems {
		lines[i] = p.String()
	}
	return lines
}

func (a *app) jsonFlag(c *cobra.Command) {
	c.Flags().BoolVar(&a.json, "json", false, "print one JSON document")
}
