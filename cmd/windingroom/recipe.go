package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/catalog"
	"windingroom/internal/intake"
	"windingroom/internal/setwork"
	"windingroom/internal/workshop"
)

// recipe adds recipes.
func (a *app) recipe() *cobra.Command {
	c := &cobra.Command{Use: "recipe", Short: "Recipes: how a string is made", Args: noArgs, RunE: func(c *cobra.Command, _ []string) error { return c.Help() }}
	c.AddCommand(a.recipeAdd())
	return c
}

// recipeAdd adds one, as find lists ways to make a gauge. What is left out is filled in from the recipe nearest to it.
func (a *app) recipeAdd() *cobra.Command {
	var form intake.RecipeForm
	var wraps, lays []string
	var noBallEnd bool
	c := &cobra.Command{
		Use:   "add CODE --core WIRE [--wraps WIRE,...]",
		Short: "Add a recipe of core and wraps; gauge, yield and minutes are filled in from the recipe nearest to it where left out",
		Args:  takes(1, 1, "the code of the new recipe"),
		RunE: func(c *cobra.Command, args []string) error {
			form.Recipe = args[0]
			if len(lays) > len(wraps) {
				return usagef("lays-thou: %s for %s", counted(len(lays), "lay", "lays"), counted(len(wraps), "wrap", "wraps"))
			}
			for i, wire := range wraps {
				wrap := intake.WrapForm{Wire: strings.TrimSpace(wire)}
				if i < len(lays) {
					wrap.LayThou = strings.TrimSpace(lays[i])
				}
				form.Wraps = append(form.Wraps, wrap)
			}
			if noBallEnd {
				form.BallEnd = "no"
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				made, err := shop.MakeRecipe(ctx, form)
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.RecipeBody(made))
				}
				a.say("recipe %s: %s on %s%s, yield %.3g, %.3g min each", made.Code, made.Gauge, made.Core, over(made), made.Yield, made.MinutesEach.Minutes())
				return nil
			})
		},
	}
	f := c.Flags()
	f.StringVar(&form.Core, "core", "", "wire of the core, or of the plain string")
	f.StringSliceVar(&wraps, "wraps", nil, "wires of the wraps, innermost first, with commas between")
	f.StringSliceVar(&lays, "lays-thou", nil, "advance per turn of each wrap; empty for touching turns")
	f.StringVar(&form.GaugeThou, "gauge-thou", "", "gauge it goes by (default the computed one to the half thousandth)")
	f.StringVar(&form.Yield, "yield", "", "share of good strings")
	f.StringVar(&form.MinutesEach, "minutes-each", "", "winding minutes of a string")
	f.BoolVar(&noBallEnd, "no-ball-end", false, "strings without a ball end")
	a.jsonFlag(c)
	return c
}

// over names the wraps of a recipe.
func over(c catalog.Recipe) string {
	var text strings.Builder
	for _, w := range c.Wraps {
		fmt.Fprintf(&text, " + %s", w.Wire)
	}
	return text.String()
}

// makeFound makes a recipe of one of the ways that were found.
func makeFound(ctx context.Context, shop *workshop.Shop, code string, found []setwork.Found, way int) (catalog.Recipe, error) {
	if len(found) == 0 {
		return catalog.Recipe{}, fmt.Errorf("nothing was found that gives this gauge: allow a greater tolerance_thou, or wire that is not held")
	}
	if way < 1 || way > len(found) {
		return catalog.Recipe{}, usagef("way: %d is not one of the %s that were found", way, counted(len(found), "way", "ways"))
	}
	f := found[way-1]
	if f.Recipe != "" && !strings.EqualFold(f.Recipe, code) { // the same again changes nothing
		return catalog.Recipe{}, fmt.Errorf("way %d is recipe %s already; --way takes another one", way, f.Recipe)
	}
	form := intake.RecipeForm{Recipe: code, Core: f.Core}
	for _, w := range f.Wraps {
		form.Wraps = append(form.Wraps, intake.WrapForm{Wire: w})
	}
	return shop.MakeRecipe(ctx, form)
}
