package main

import (
	"context"
	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/workshop"
)

func (a *app) ahead() *cobra.Command {
	var from string
	var days int
	c := &cobra.Command{
		Use:   "ahead --from DATE",
		Short: "Plan the working days to come, without keeping anything",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			d, err := day("from", from)
			if err != nil {
				return err
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				list, err := shop.LookAhead(ctx, d, days)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.AheadBody(list))
				}
				for _, d := range list {
					a.printAhead(d)
				}
				return nil
			})
		},
	}
	c.Flags().StringVar(&from, "from", "", "the first day, YYYY-MM-DD")
	c.Flags().IntVar(&days, "days", 10, "working days")
	a.jsonFlag(c)
	return c
}

// printAhead prints a day to come for people at a terminal.
func (a *app) printAhead(d workshop.AheadDay) {
	open := 0
	for _, n := range d.NotPlanned {
		open += n.Strings
	}
	a.say("%s  %s completed, %d late, %s still open", d.Date.Time().Format("Mon 2006-01-02"), counted(len(d.Completed), "order", "orders"), len(d.Late), counted(open, "string", "strings"))
	for _, l := range d.Loads {
		a.say("  %-10s %3d batches  setup %5.1f  run %6.1f  of %4.0f min", l.Machine, l.Batches, l.Setup.Minutes(), l.Run.Minutes(), l.Minutes.Minutes())
	}
}
