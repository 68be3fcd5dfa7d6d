package main

import (
	"context"
	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/calendar"
	"windingroom/internal/workshop"
)

func (a *app) stock() *cobra.Command {
	var at string
	c := &cobra.Command{
		Use:   "stock",
		Short: "Spools with wire, lot, mass, cost, allocated and free",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			var date calendar.Date
			if at != "" {
				var err error
				if date, err = day("at", at); err != nil {
					return err
				}
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				list, err := shop.Stock(ctx, date)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.StockBody(list))
				}
				a.say("%-12s %-14s %-14s %12s %12s %14s %12s", "spool", "wire", "lot", "mass g", "cost "+string(list.Currency), "allocated g", "free g")
				for _, b := range list.Spools {
					note := ""
					if b.Remnant() {
						note = "  remnant"
					}
					a.say("%-12s %-14s %-14s %12.3f %12s %14.3f %12.3f%s", b.Code, b.Wire, b.Lot, b.Mass.Grams(),
						list.Currency.Text(b.Value), b.Allocated.Grams(), b.Free().Grams(), note)
				}
				return nil
			})
		},
	}
	c.Flags().StringVar(&at, "at", "", "as of the end of this day, YYYY-MM-DD")
	a.jsonFlag(c)
	return c
}
