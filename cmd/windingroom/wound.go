package main

import (
	"context"
	"errors"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/batch"
	"windingroom/internal/intake"
	"windingroom/internal/workshop"
)

func (a *app) wound() *cobra.Command {
	var date, undo, reason string
	c := &cobra.Command{
		Use:   "wound --date DATE FILE.csv | wound --undo BATCH --reason TEXT",
		Short: "Post winding results, all of a file or none; or take back a batch's last result",
		Args:  takes(0, 1, "one file"),
		RunE: func(c *cobra.Command, args []string) error {
			if undo != "" {
				if len(args) > 0 || date != "" {
					return usagef("--undo takes a batch and --reason, no file and no --date")
				}
				return a.undoWound(c.Context(), batch.Code(undo), reason)
			}
			if len(args) != 1 {
				return usagef("wound takes one file of results, such as results.csv")
			}
			return a.postWound(c.Context(), date, args[0])
		},
	}
	c.Flags().StringVar(&date, "date", "", "the day on which it was wound, YYYY-MM-DD")
	c.Flags().StringVar(&undo, "undo", "", "take back the last result of this batch")
	c.Flags().StringVar(&reason, "reason", "", "why it is taken back")
	a.jsonFlag(c)
	return c
}

func (a *app) postWound(ctx context.Context, date, file string) error {
	d, err := day("date", date)
	if err != nil {
		return err
	}
	f, err := os.Open(file)
	if err != nil {
		return usage(err)
	}
	defer f.Close()
	results := intake.ReadResults(filepath.Base(file), f)
	return a.withShop(ctx, func(ctx context.Context, shop *workshop.Shop) error {
		report, err := shop.PostResults(ctx, d, results)
		if err != nil {
			return a.refusedRows(err)
		}
		if a.json {
			return a.printJSON(api.ResultsBody(report))
		}
		for _, p := range report.Results {
			a.printResult(p)
		}
		if !report.Changes() {
			a.say("nothing to change: every result is already here")
		}
		return nil
	})
}

// refusedRows prints what is wrong with the rows of a file as JSON where that was asked for.
func (a *app) refusedRows(err error) error {
	var problems intake.Problems
	if a.json && errors.As(err, &problems) {
		if err := a.printJSON(api.Results{Results: []api.Result{}, Problems: problemLines(problems)}); err != nil {
			return err
		}
	}
	return err
}

func (a *app) undoWound(ctx context.Context, code batch.Code, reason string) error {
	if reason == "" {
		return usagef("--reason is missing: why the result is taken back")
	}
	return a.withShop(ctx, func(ctx context.Context, shop *workshop.Shop) error {
		undone, err := shop.UndoResult(ctx, code, 0, reason)
		if err != nil {
			return err
		}
		if a.json {
			return a.printJSON(api.ResultBody(undone))
		}
		a.say("undone: batch %s result %d; the batch is %s", undone.Batch.Code, undone.Result.Number, undone.Batch.Status)
		return nil
	})
}

func (a *app) printResult(p workshop.ResultPosted) {
	r := p.Result
	note := ""
	switch {
	case p.Unchanged:
		note = "  already here"
	case r.Continues:
		note = "  goes on"
	}
	a.say("%-12s %4d good %4d scrapped  %s%s", r.Batch, r.Good, r.Scrapped, r.Person, note)
	for _, d := range r.Draws {
		a.say("             %-12s %-14s %12s %12.3f g", d.Spool, d.Wire, counted(d.Strings, "string", "strings"), d.Mass.Grams())
	}
}
