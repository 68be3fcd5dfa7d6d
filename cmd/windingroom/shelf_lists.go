package main

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/workshop"
)

func (a *app) remnants() *cobra.Command {
	c := &cobra.Command{
		Use:   "remnants",
		Short: "Ends below the usable end, for scrap sale or use",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				list, err := shop.Remnants(ctx)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.RemnantsBody(list))
				}
				for _, r := range list.Spools {
					a.say("%-12s %-14s %10.3f g of a usable end of %.3f g  %s", r.Code, r.Wire, r.Mass.Grams(), r.UsableEnd.Grams(), r.Location)
				}
				for _, s := range list.Alloys {
					a.say("%s: %s, %.3f g, cost %s %s", s.Alloy, counted(s.Spools, "spool", "spools"), s.Mass.Grams(), list.Currency.Text(s.Value), list.Currency)
				}
				return nil
			})
		},
	}
	a.jsonFlag(c)
	return c
}

func (a *app) countList() *cobra.Command {
	var date string
	c := &cobra.Command{
		Use:   "count-list",
		Short: "What to weigh today, riskiest first",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				on := shop.Today()
				if date != "" {
					var err error
					if on, err = day("date", date); err != nil {
						return err
					}
				}
				list, err := shop.ToWeigh(ctx, on)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.CountListBody(list))
				}
				for _, r := range list.Rows {
					reasons := make([]string, len(r.Reasons))
					for i, why := range r.Reasons {
						reasons[i] = string(why)
					}
					a.say("%-12s %s %-14s %10.3f g ± %.3f g  at risk %s  %s: %s", r.Spool, r.Class, r.Balance.Wire, r.Balance.Mass.Grams(),
						r.Uncertainty.Grams(), list.Currency.Text(r.AtRisk), r.Balance.Location, strings.Join(reasons, "; "))
				}
				if len(list.Rows) == 0 {
					a.say("nothing needs weighing")
				}
				return nil
			})
		},
	}
	c.Flags().StringVar(&date, "date", "", "the day, YYYY-MM-DD (default today)")
	a.jsonFlag(c)
	return c
}

func (a *app) tare() *cobra.Command {
	var key string
	c := &cobra.Command{
		Use:   "tare TYPE GROSS_G",
		Short: "Learn the tare of a spool type from an empty spool",
		Args:  takes(2, 2, "a spool type and the weight of an empty spool in grams"),
		RunE: func(c *cobra.Command, args []string) error {
			mass, err := gramsOf("gross", args[1])
			if err != nil {
				return err
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				t, err := shop.LearnTare(ctx, args[0], mass, key)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.SpoolTypeBody(t))
				}
				a.say("spool type %s: tare %s ± %s from %d weighed", t.Name, t.Tare, t.Spread(), t.Weighed)
				return nil
			})
		},
	}
	c.Flags().StringVar(&key, "key", "", "the same key counts once")
	a.jsonFlag(c)
	return c
}
