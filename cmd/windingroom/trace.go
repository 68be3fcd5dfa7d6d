package main

import (
	"bytes"
	"context"

	"github.com/spf13/cobra"

	"windingroom/exports"
	"windingroom/internal/api"
	"windingroom/internal/order"
	"windingroom/internal/workshop"
)

// trace gathers the ways to follow wire.
func (a *app) trace() *cobra.Command {
	c := &cobra.Command{
		Use:   "trace",
		Short: "Follow an order to its lots, or a lot to its orders",
		Args:  noArgs,
		RunE:  func(c *cobra.Command, _ []string) error { return usagef("trace takes order or lot, and its code") },
	}
	c.AddCommand(a.traceOrder(), a.traceLot())
	return c
}

func (a *app) traceOrder() *cobra.Command {
	c := &cobra.Command{
		Use:   "order ORDER",
		Short: "From an order's strings to batches, spools, lots and suppliers",
		Args:  takes(1, 1, "one order"),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				t, err := shop.TraceOrder(ctx, order.Code(args[0]))
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.OrderTraceBody(t))
				}
				a.say("%s  %s  %s", t.Order.Code, t.Order.Status, t.Order.Customer)
				for _, s := range t.Strings {
					a.say("  line %d position %d  %3d of %-12s batch %s on %s by %-12s spool %-12s %-14s lot %-14s %s", s.Line, s.Position, s.Strings, s.Recipe,
						s.Batch, s.WoundOn, s.Person, s.Spool, s.Wire, s.Lot, s.Supplier)
				}
				return nil
			})
		},
	}
	a.jsonFlag(c)
	return c
}

func (a *app) traceLot() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:   "lot LOT",
		Short: "From a supplier's lot to spools, batches and every order; --out writes the recall list",
		Args:  takes(1, 1, "one lot"),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				t, err := shop.TraceLot(ctx, args[0])
				if err != nil {
					return err
				}
				if out != "" {
					var book bytes.Buffer
					if err := exports.RecallList(&book, t); err != nil {
						return err
					}
					if err := writeWhole(out, book.Bytes()); err != nil {
						return err
					}
				}
				if a.json {
					return a.printJSON(api.LotTraceBody(t))
				}
				for _, s := range t.Spools {
					a.say("spool %-12s %-14s lot %-14s received %s %10.3f g  drawn %10.3f g  on hand %10.3f g", s.Spool, s.Wire, s.Lot, s.ReceivedOn,
						s.Received.Grams(), s.Drawn.Grams(), s.OnHand.Grams())
				}
				for _, b := range t.Batches {
					a.say("batch %-12s %s %-12s %-10s drew %10.3f g  still holds %10.3f g", b.Batch, b.Date, b.Recipe, b.Status, b.Drawn.Grams(), b.Held.Grams())
				}
				for _, o := range t.Orders() {
					name := "order " + string(o.Order)
					if o.Order == "" {
						name = "finished stock"
					}
					a.say("%-18s %12s %10.3f g  %s  %s", name, counted(o.Strings, "string", "strings"), o.Mass.Grams(), o.First.Status, o.First.Customer)
				}
				if out != "" {
					a.say("wrote the recall list to %s", out)
				}
				return nil
			})
		},
	}
	c.Flags().StringVar(&out, "out", "", "write the recall list as a workbook")
	a.jsonFlag(c)
	return c
}
