package main

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/material"
	"windingroom/internal/workshop"
)

func (a *app) terms() *cobra.Command {
	var minimum string
	var breaks []string
	var noBreaks bool
	c := &cobra.Command{
		Use:   "terms WIRE",
		Short: "Show a wire's own minimum and its supplier's price breaks, or set those that a flag names",
		Args:  takes(1, 1, "one wire"),
		RunE: func(c *cobra.Command, args []string) error {
			if noBreaks && len(breaks) > 0 {
				return usagef("--no-breaks: leave it out where --break names some")
			}
			fresh, err := readBreaks(breaks)
			if err != nil {
				return err
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				t, err := shop.Terms(ctx, material.WireCode(args[0]))
				if err != nil {
					return err
				}
				if set := c.Flags().Changed; set("minimum") || set("break") || noBreaks {
					form := formOf(t)
					if set("minimum") {
						form.Minimum = minimum
					}
					if noBreaks || len(fresh) > 0 {
						form.Breaks = fresh
					}
					if t, err = shop.SetTerms(ctx, form); err != nil {
						return err
					}
				}
				return a.printTerms(t)
			})
		},
	}
	c.Flags().StringVar(&minimum, "minimum", "", "grams to keep of a wire that was never used; 0 for none")
	c.Flags().StringArrayVar(&breaks, "break", nil, "KG=PRICE: a kilogram's price for a whole line from so many on, in the place of those before; repeat it for each")
	c.Flags().BoolVar(&noBreaks, "no-breaks", false, "one price for every line")
	a.jsonFlag(c)
	return c
}

func readBreaks(texts []string) (breaks []workshop.BreakForm, err error) {
	for _, text := range texts {
		from, price, ok := strings.Cut(text, "=")
		if !ok {
			return nil, usagef("--break: %q is not KG=PRICE such as 5=41.50", text)
		}
		breaks = append(breaks, workshop.BreakForm{FromKg: from, PricePerKg: price})
	}
	return breaks, nil
}

// formOf writes terms as a person would, so that what no flag names stays.
func formOf(t workshop.Terms) workshop.TermsForm {
	form := workshop.TermsForm{Wire: string(t.Wire), Minimum: t.Minimum.GramText()}
	for _, b := range t.Breaks {
		form.Breaks = append(form.Breaks, workshop.BreakForm{FromKg: b.From.KilogramText(), PricePerKg: t.Currency.Text(b.PricePerKg)})
	}
	return form
}

func (a *app) printTerms(t workshop.Terms) error {
	if a.json {
		return a.printJSON(api.TermsBody(t))
	}
	a.say("%s: minimum %s", t.Wire, t.Minimum)
	for _, b := range t.Breaks {
		a.say("  from %s kg %s %s a kilogram", b.From.KilogramText(), t.Currency.Text(b.PricePerKg), t.Currency)
	}
	return nil
}
