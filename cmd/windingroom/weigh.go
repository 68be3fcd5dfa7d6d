package main

import (
	"context"
	"errors"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"windingroom/internal/api"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

func (a *app) weigh() *cobra.Command {
	return a.weighing("weigh SPOOL GROSS_G", "Weigh a spool back: from then on it holds what the scale says", (*workshop.Shop).Weigh)
}

func (a *app) count() *cobra.Command {
	return a.weighing("count SPOOL GROSS_G", "Weigh a spool at a stock-take", (*workshop.Shop).Count)
}

func (a *app) weighing(use, short string, do func(*workshop.Shop, context.Context, workshop.Weigh) (workshop.Weighed, error)) *cobra.Command {
	var at, second string
	var in workshop.Weigh
	c := &cobra.Command{
		Use:   use,
		Short: short,
		Args:  takes(2, 2, "a spool and its gross weight in grams"),
		RunE: func(c *cobra.Command, args []string) (err error) {
			in.Spool = stock.SpoolCode(args[0])
			if in.Gross, err = gramsOf("gross", args[1]); err != nil {
				return err
			}
			if second != "" {
				mass, err := gramsOf("--second", second)
				if err != nil {
					return err
				}
				in.Second = &mass
			}
			if at != "" {
				if in.At, err = time.Parse(time.RFC3339, at); err != nil {
					return usagef("--at: %q is not an instant such as 2026-03-02T17:30:00+01:00", at)
				}
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				w, err := do(shop, ctx, in)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.WeighingBody(w))
				}
				a.printWeighed(w)
				return nil
			})
		},
	}
	c.SetFlagErrorFunc(negativeGross)
	c.Flags().StringVar(&at, "at", "", "when it was weighed, RFC 3339 (default now)")
	c.Flags().StringVar(&second, "second", "", "a second reading in grams, after the spool was taken off")
	c.Flags().StringVar(&in.Note, "note", "", "a note for the books")
	c.Flags().StringVar(&in.Key, "key", "", "the same key posts once")
	c.Flags().BoolVar(&in.Confirmed, "confirm", false, "the owner's word that a surprising weighing is right")
	a.jsonFlag(c)
	return c
}

// negativeGross words a flag that is none: a weight below zero looks like one.
func negativeGross(_ *cobra.Command, err error) error {
	if none := new(pflag.NotExistError); errors.As(err, &none) {
		if text := none.GetSpecifiedShortnames(); strings.Trim(text, "0123456789.") == "" && text != "" {
			return usagef("gross: -%s must not be negative, in grams: the spool weighs what the scale shows with wire and spool", text)
		}
	}
	return usage(err)
}

// gramsOf reads a mass of the command line.
func gramsOf(what, text string) (measure.Mass, error) {
	m, err := measure.ParseGrams(text)
	if err != nil {
		return 0, usagef("%s: %v", what, err)
	}
	if m < 0 {
		return 0, usagef("%s: %s must not be negative, in grams", what, text)
	}
	return m, nil
}

func (a *app) printWeighed(w workshop.Weighed) {
	k := w.Weighing
	verb := "holds"
	if w.Spool.Mass != k.Net {
		verb = "held"
	}
	a.say("spool %s %s %s: the books said %s, a difference of %s ± %s", w.Spool.Code, verb, k.Net, k.Book, k.Net-k.Book, k.Uncertainty)
	if verb == "held" {
		a.say("spool %s holds %s now", w.Spool.Code, w.Spool.Mass)
	}
	if w.Why != "" {
		a.say("%s", w.Why)
	}
	for _, s := range k.Shares {
		if s.Source != "" {
			a.say("batch %s bears %s", s.Source, s.Mass)
		}
	}
	for _, s := range w.Short {
		a.say("batch %s is short of %s: give it other wire", s.Batch, s.Mass)
	}
}
