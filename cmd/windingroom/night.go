package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/material"
	"windingroom/internal/replenishment"
	"windingroom/internal/workshop"
)

func (a *app) night() *cobra.Command {
	var date string
	c := &cobra.Command{
		Use:   "night",
		Short: "Run the nightly reorder check now: what to order, from whom, how much, by when and why",
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
				n, err := shop.RunNight(ctx, on)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.NightBody(n))
				}
				a.printNight(n)
				return nil
			})
		},
	}
	c.Flags().StringVar(&date, "date", "", "the day it answers for, YYYY-MM-DD (default today)")
	a.jsonFlag(c)
	return c
}

// printNight prints the short list: what to order, then each wire with an alert.
func (a *app) printNight(n workshop.NightReport) {
	a.say("%s", n.Headline())
	for _, p := range n.Purchases {
		a.say("from %s, %s: %s", p.Supplier, replenishment.Due(p.OrderBy, n.Date), n.Sum(p))
		for _, l := range p.Lines {
			a.say("  %-14s %9s %8.3f kg %10s  %s", l.Wire, workshop.Count(l.Packs, "pack", "packs"), l.Mass.Kilograms(), n.Currency.Text(l.Cost), l.Reason())
		}
		if p.Note != "" {
			a.say("  %s", p.Note)
		}
	}
	if len(n.Purchases)+len(n.Alerts()) == 0 {
		a.say("nothing to order, and no alert")
	}
	for _, w := range n.Alerts() {
		a.say("%-5s %-14s %s%s", w.Alert, w.Wire, w.Why, changedText(w))
		if answer, ok := n.Answers[w.Wire]; ok {
			a.say("      %s", answered(answer))
		}
	}
	for _, o := range replenishment.OrdersAtRisk(n.Wires) {
		wires := make([]string, len(o.Wires))
		for i, w := range o.Wires {
			wires[i] = string(w)
		}
		a.say("at risk: order %s for want of %s", o.Order, strings.Join(wires, ", "))
	}
	for _, s := range n.Slips {
		a.say("slips: %s", s)
	}
}

// printShortList prints what the night asks for in a few lines: one for each supplier, and the wires that are late.
func (a *app) printShortList(n workshop.NightReport) {
	a.say("night     %s", n.Headline())
	for _, p := range n.Purchases {
		a.say("order     from %s, %s: %s, %s", p.Supplier, replenishment.Due(p.OrderBy, n.Date), workshop.Count(len(p.Lines), "wire", "wires"), n.Sum(p))
	}
	for _, w := range n.Alerts() {
		if w.Alert == replenishment.Late {
			a.say("late      %s: %s", w.Wire, w.Why)
		}
	}
}

func changedText(w replenishment.WireNight) string {
	if w.Changed == "" {
		return ""
	}
	return " (since the night before: " + w.Changed + ")"
}

func answered(a workshop.AlertAnswer) string {
	if a.Until.IsZero() {
		return fmt.Sprintf("seen by %s: %s", a.Person, a.Reason)
	}
	return fmt.Sprintf("rests until %s, by %s: %s", a.Until, a.Person, a.Reason)
}

// alert answers the alert of a wire.
func (a *app) alert() *cobra.Command {
	var reason, until string
	c := &cobra.Command{
		Use:   "alert WIRE --reason TEXT",
		Short: "Note that a wire's alert was seen, or let it rest until a day; it comes back when it rises",
		Args:  takes(1, 1, "one wire"),
		RunE: func(c *cobra.Command, args []string) error {
			on, err := optionalDay("until", until)
			if err != nil {
				return err
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				n, err := shop.AnswerAlert(ctx, material.WireCode(args[0]), reason, on)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.NightBody(n))
				}
				a.say("still unanswered: %s", counted(len(n.Unanswered()), "alert", "alerts"))
				return nil
			})
		},
	}
	c.Flags().StringVar(&reason, "reason", "", "why, in a few words")
	c.Flags().StringVar(&until, "until", "", "let it rest until this day, YYYY-MM-DD")
	a.jsonFlag(c)
	return c
}
