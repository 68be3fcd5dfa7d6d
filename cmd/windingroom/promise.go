package main

import (
	"context"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/order"
	"windingroom/internal/promise"
	"windingroom/internal/workshop"
)

// promise finds the day for an order of the shop, or for one in a file.
func (a *app) promise() *cobra.Command {
	var hold bool
	var from string
	c := &cobra.Command{
		Use:   "promise ORDER|FILE.json",
		Short: "The earliest day on which an order can be wound whole, what decides it, and what would make it earlier",
		Args:  takes(1, 1, "an order, or a file that ends in .json"),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				if from != "" {
					d, err := day("from", from)
					if err != nil {
						return err
					}
					noon := d.In(shop.Zone).Add(12 * time.Hour)
					shop.Now = func() time.Time { return noon }
				}
				if hold {
					story, err := shop.HoldPromise(ctx, order.Code(args[0]))
					if err != nil {
						return err
					}
					if a.json {
						return a.printJSON(api.OrderBody(story))
					}
					a.printOrder(story)
					return nil
				}
				found, err := a.promiseDay(ctx, shop, args)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.PromiseDayBody(found))
				}
				a.say("%s  %s, due %s", found.Order.Code, found.Order.Customer, found.Order.DueOn)
				a.printPromise(found.Order, found.Answer)
				return nil
			})
		},
	}
	c.Flags().BoolVar(&hold, "hold", false, "hold a confirmed order to the day that is found")
	c.Flags().StringVar(&from, "from", "", "as if this were the present day, YYYY-MM-DD")
	a.jsonFlag(c)
	return c
}

func (a *app) promiseDay(ctx context.Context, shop *workshop.Shop, args []string) (workshop.PromiseDay, error) {
	if !strings.HasSuffix(args[0], ".json") && args[0] != "-" {
		return shop.PromiseOf(ctx, order.Code(args[0]))
	}
	body, err := a.readInput(args)
	if err != nil {
		return workshop.PromiseDay{}, err
	}
	form, err := api.ReadOrderForm(body)
	if err != nil {
		return workshop.PromiseDay{}, usagef("%s: %w", args[0], err)
	}
	return shop.PromiseFor(ctx, form)
}

// printPromise prints the day for an order, what decides it and what would make it earlier.
func (a *app) printPromise(o order.Order, answer promise.Answer) {
	if !o.PromisedOn.IsZero() {
		a.say("  promised for %s", o.PromisedOn)
	}
	if answer.On.IsZero() {
		a.say("  no day can be promised: %s", answer.Why())
	} else {
		how := "planned"
		if !answer.Planned {
			how = "reckoned"
		}
		a.say("  earliest %s, %s, %.0f %% sure; %+d days to its due day", answer.On, how, 100*answer.Confidence, int(o.DueOn-answer.On))
		a.say("  %s", answer.Why())
	}
	for _, u := range answer.Earlier {
		a.say("  %s", u)
	}
}
