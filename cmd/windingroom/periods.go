package main

import (
	"context"
	"time"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/costing"
	"windingroom/internal/purchase"
	"windingroom/internal/workshop"
)

// period reads a month of the command line.
func period(what, text string) (costing.Period, error) {
	if text == "" {
		return 0, usagef("%s is missing: a month such as 2026-02", what)
	}
	p, err := costing.ParsePeriod(text)
	if err != nil {
		return 0, usagef("%s: %v", what, err)
	}
	return p, nil
}

func (a *app) closeMonth() *cobra.Command {
	c := &cobra.Command{
		Use:   "close YYYY-MM",
		Short: "Lock a month of the books: nothing posts into it or before it any more",
		Args:  takes(1, 1, "one month"),
		RunE: func(c *cobra.Command, args []string) error {
			month, err := period("the month", args[0])
			if err != nil {
				return err
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				closed, err := shop.CloseMonth(ctx, month)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.PeriodBody(closed))
				}
				a.say("closed %s; its figures hash to %s", closed.Month, closed.Hash)
				return nil
			})
		},
	}
	a.jsonFlag(c)
	return c
}

func (a *app) reopenMonth() *cobra.Command {
	var reason string
	c := &cobra.Command{
		Use:   "reopen YYYY-MM --reason TEXT",
		Short: "Open the last closed month again; the reason is kept for ever",
		Args:  takes(1, 1, "one month"),
		RunE: func(c *cobra.Command, args []string) error {
			month, err := period("the month", args[0])
			if err != nil {
				return err
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				if err := shop.ReopenMonth(ctx, month, reason); err != nil {
					return err
				}
				a.say("reopened %s", month)
				return nil
			})
		},
	}
	c.Flags().StringVar(&reason, "reason", "", "why")
	return c
}

func (a *app) months() *cobra.Command {
	c := &cobra.Command{
		Use:   "months",
		Short: "List the months of the books: open or closed, with every closing and reopening",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				months, err := shop.Months(ctx)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.MonthsBody(months))
				}
				for _, m := range months {
					a.say("%s  %s", m.Month, standing(m))
					for _, h := range m.Closings {
						a.say("    %s  %s by %s  %s", h.At.Format(time.DateTime), h.Act, h.Person, h.Reason)
					}
				}
				return nil
			})
		},
	}
	a.jsonFlag(c)
	return c
}

func standing(m workshop.Month) string {
	switch {
	case m.Closed != nil:
		return "closed   " + m.Closed.Hash[:12]
	case m.Before:
		return "closed with a later month"
	}
	return "open"
}

func (a *app) method() *cobra.Command {
	var from, reason string
	c := &cobra.Command{
		Use:   "method [FAMILY specific|fifo|moving-average --from YYYY-MM --reason TEXT]",
		Short: "Choose by which method the books value an alloy's wires from a month on; all is every alloy. Without arguments list the choices",
		Args:  takes(0, 2, "an alloy, or all, and its method"),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				switch len(args) {
				case 0:
					return a.listMethods(ctx, shop)
				case 1:
					return usagef("method takes an alloy, or all, and its method: specific, fifo or moving-average")
				}
				first, err := period("--from", from)
				if err != nil {
					return err
				}
				m := costing.Method{Family: args[0], Formula: costing.Formula(args[1]), From: first}
				if m.Formula == "moving-average" {
					m.Formula = costing.MovingAverage
				}
				if m.Family == "all" {
					m.Family = ""
				}
				set, err := shop.SetCostMethod(ctx, m, reason)
				if err != nil {
					return err
				}
				a.say("%s: %s from %s", familyText(set.Family), set.Formula, set.From)
				return nil
			})
		},
	}
	c.Flags().StringVar(&from, "from", "", "the first month, YYYY-MM")
	c.Flags().StringVar(&reason, "reason", "", "why")
	a.jsonFlag(c)
	return c
}

func familyText(family string) string {
	if family == "" {
		return "all"
	}
	return family
}

func (a *app) listMethods(ctx context.Context, shop *workshop.Shop) error {
	methods, err := shop.CostMethods(ctx)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(api.MethodsBody(methods))
	}
	for _, m := range methods {
		a.say("%-20s %-15s from %s  by %s: %s", familyText(m.Family), m.Formula, m.From, m.SetBy, m.Reason)
	}
	if len(methods) == 0 {
		a.say("every alloy is valued at the cost of each spool's own lot (specific)")
	}
	return nil
}

func (a *app) invoice() *cobra.Command {
	var in workshop.NewInvoice
	var on string
	c := &cobra.Command{
		Use:   "invoice PURCHASE --number TEXT --amount MONEY --on DATE",
		Short: "Note a supplier's invoice for a purchase; what it asks beyond the receipt lands on the wire",
		Args:  takes(1, 1, "one purchase"),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				if on != "" {
					var err error
					if in.On, err = day("on", on); err != nil {
						return err
					}
				}
				in.Purchase = purchase.Code(args[0])
				noted, err := shop.InvoicePurchase(ctx, in)
				if err != nil {
					return err
				}
				a.say("noted invoice %s of %s for purchase %s", noted.Number, noted.InvoicedOn, noted.Purchase)
				if noted.Difference != 0 {
					a.say("it is %s off what came: %s on wire that is there, %s of wire that is gone", noted.Currency.Text(noted.Difference),
						noted.Currency.Text(noted.OnHand), noted.Currency.Text(noted.Used))
				}
				return nil
			})
		},
	}
	c.Flags().StringVar(&in.Number, "number", "", "the supplier's number of the invoice")
	c.Flags().StringVar(&in.Amount, "amount", "", "what it asks for, freight included; below zero for a credit note")
	c.Flags().StringVar(&on, "on", "", "its day, YYYY-MM-DD")
	c.Flags().BoolVar(&in.Part, "part", false, "others are to come for what came: settle nothing yet")
	c.Flags().StringVar(&in.Corrects, "corrects", "", "the number of the invoice that it corrects")
	c.Flags().BoolVar(&in.Confirmed, "confirm", false, "a difference of more than a quarter is right")
	return c
}
