package main

import (
	"context"
	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/batch"
	"windingroom/internal/workshop"
)

func (a *app) takeBack() *cobra.Command {
	var reason string
	c := &cobra.Command{
		Use:   "take-back BATCH --reason WHY",
		Short: "Make a released batch of which nothing is wound a proposed one again",
		Args:  takes(1, 1, "one batch"),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				day, err := shop.TakeBack(ctx, batch.Code(args[0]), reason)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.PlanBody(day))
				}
				a.printPlan(day)
				return nil
			})
		},
	}
	c.Flags().StringVar(&reason, "reason", "", "why, in a few words")
	a.jsonFlag(c)
	return c
}
