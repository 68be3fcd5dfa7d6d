package main

import (
	"context"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/order"
	"windingroom/internal/workshop"
)

// order gathers the commands of an order's life.
func (a *app) order() *cobra.Command {
	c := &cobra.Command{
		Use:   "order",
		Short: "Show, confirm, cancel, pack or ship an order",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return usagef("order takes show, confirm, cancel, pack or ship")
		},
	}
	c.AddCommand(
		a.orderAct("show", "Show an order with what it needs, holds and waits for", false,
			func(ctx context.Context, s *workshop.Shop, code order.Code, _ string) (workshop.OrderStory, error) {
				return s.Order(ctx, code)
			}),
		a.orderAct("confirm", "Confirm a draft: its wire is allocated as far as it is free", false,
			func(ctx context.Context, s *workshop.Shop, code order.Code, _ string) (workshop.OrderStory, error) {
				return s.ConfirmOrder(ctx, code)
			}),
		a.orderAct("cancel", "Cancel an order: its wire is free again", true,
			func(ctx context.Context, s *workshop.Shop, code order.Code, reason string) (workshop.OrderStory, error) {
				return s.CancelOrder(ctx, code, reason)
			}),
		a.orderAct("pack", "Pack an order whose strings all exist, or with a reason one that lacks some", true,
			func(ctx context.Context, s *workshop.Shop, code order.Code, reason string) (workshop.OrderStory, error) {
				return s.PackOrder(ctx, code, reason)
			}),
		a.orderAct("ship", "Ship an order whose strings all exist, or with a reason one that lacks some", true,
			func(ctx context.Context, s *workshop.Shop, code order.Code, reason string) (workshop.OrderStory, error) {
				return s.ShipOrder(ctx, code, reason)
			}),
	)
	return c
}

type orderDo func(context.Context, *workshop.Shop, order.Code, string) (workshop.OrderStory, error)

func (a *app) orderAct(name, short string, takesReason bool, do orderDo) *cobra.Command {
	var reason string
	c := &cobra.Command{
		Use:   name + " ORDER",
		Short: short,
		Args:  takes(1, 1, "one order"),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				story, err := do(ctx, shop, order.Code(args[0]), reason)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.OrderBody(story))
				}
				a.printOrder(story)
				return nil
			})
		},
	}
	if takesReason {
		c.Flags().StringVar(&reason, "reason", "", "why, in a few words")
	}
	a.jsonFlag(c)
	return c
}

// printOrder prints an order's story for people at a terminal.
func (a *app) printOrder(story workshop.OrderStory) {
	o := story.Order
	good := 0
	for _, g := range story.Good {
		good += g.Strings
	}
	a.say("%s  %s  %s, due %s: %d of %s wound", o.Code, o.Status, o.Customer, o.DueOn, good, counted(o.StringCount(), "string", "strings"))
	if o.Short != "" {
		a.say("  short: %s", o.Short)
	}
	if story.Promised != nil {
		a.printPromise(o, *story.Promised)
	}
	for _, w := range story.Wires {
		from := "nothing on its way brings enough"
		if !w.From.IsZero() {
			from = "all of it from " + w.From.String()
		}
		a.say("  %-14s needs %10.3f g  holds %10.3f g  short %10.3f g  may be promised %10.3f g, %s", w.Wire, w.Needed.Grams(), w.Mass.Grams(),
			w.Short().Grams(), w.Available.Grams(), from)
	}
}
