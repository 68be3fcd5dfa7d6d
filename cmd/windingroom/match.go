package main

import (
	"context"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/setwork"
	"windingroom/internal/workshop"
)

func (a *app) match() *cobra.Command {
	return question(a, "match FILE", "The same set in another alloy at equal tension, from recipes and from wire on the shelf, as JSON",
		setwork.DecodeMatch, (*workshop.Shop).MatchSet)
}

func (a *app) tension() *cobra.Command {
	return question(a, "tension FILE", "What a set does at pitch, and beside another one, as JSON",
		setwork.DecodeTension, (*workshop.Shop).SetTension)
}

func (a *app) balance() *cobra.Command {
	return question(a, "balance FILE", "Makeable strings that pull as wanted, as JSON",
		setwork.DecodeBalance, (*workshop.Shop).BalanceSet)
}

// findWires lists ways to make a gauge; with --make it makes a recipe of one of them.
func (a *app) findWires() *cobra.Command {
	var code string
	var way int
	c := question(a, "find FILE", "Ways to make a gauge in an alloy, as JSON; --make CODE makes a recipe of one", setwork.DecodeFind,
		func(shop *workshop.Shop, ctx context.Context, q setwork.FindRequest) (any, error) {
			found, err := shop.FindWires(ctx, q)
			if err != nil || code == "" {
				return found, err
			}
			made, err := makeFound(ctx, shop, code, found.Found, way)
			return api.RecipeBody(made), err
		})
	c.Flags().StringVar(&code, "make", "", "make a recipe of this code of the way found, and print it instead")
	c.Flags().IntVar(&way, "way", 1, "which of the ways --make takes, as they are listed")
	return c
}

// question makes a command that reads a question about sets as JSON from a file or, with - or without one, from standard input.
func question[Q, A any](a *app, use, short string, decode func([]byte) (Q, error),
	answer func(*workshop.Shop, context.Context, Q) (A, error)) *cobra.Command {
	c := &cobra.Command{
		Use: use, Short: short, Args: takes(0, 1, "one file or none"),
		RunE: func(c *cobra.Command, args []string) error {
			body, err := a.readInput(args)
			if err != nil {
				return err
			}
			q, err := decode(body)
			if err != nil {
				return usage(err)
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				out, err := answer(shop, ctx, q)
				if err != nil {
					return err
				}
				return a.printJSON(out)
			})
		},
	}
	a.jsonFlag(c)
	return c
}
