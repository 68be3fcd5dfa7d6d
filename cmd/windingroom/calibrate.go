package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/workshop"
)

// calibrate notes what finished strings weighed or measured, takes that back, or shows a recipe as computed and as calibrated.
func (a *app) calibrate() *cobra.Command {
	var form api.CalibrationForm
	var scale, mass, cores, ends, resolution, step, gauges, reason string
	var takeBack int64
	c := &cobra.Command{
		Use:   "calibrate RECIPE",
		Short: "Weigh finished strings of a recipe, or measure them; without either, show it as computed and as calibrated",
		Args:  takes(1, 1, "one recipe"),
		RunE: func(c *cobra.Command, args []string) error {
			form.ScaleIn, form.MassG, form.CoresG, form.EndsG = api.Decimal(scale), api.Decimal(mass), api.Decimal(cores), api.Decimal(ends)
			form.Resolution, form.GaugeStep = api.Decimal(resolution), api.Decimal(step)
			for g := range strings.SplitSeq(gauges, ",") {
				if g = strings.TrimSpace(g); g != "" {
					form.GaugesThou = append(form.GaugesThou, api.Decimal(g))
				}
			}
			in, err := form.Read(args[0])
			if err != nil {
				return usage(err)
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				var out workshop.Calibrated
				switch {
				case takeBack != 0:
					out, err = shop.TakeBackCalibration(ctx, catalog.RecipeCode(args[0]), takeBack, reason)
				case in.Strings == 0 && in.Mass == 0 && len(in.Gauges) == 0:
					if in.Scale == 0 {
						in.Scale = workshop.ShownScale
					}
					out, err = shop.Calibrated(ctx, in.Recipe, in.Scale)
				default:
					out, err = shop.Calibrate(ctx, in)
				}
				if err != nil {
					return err
				}
				if a.json {
					return a.printJSON(api.CalibratedBody(out))
				}
				a.printCalibrated(out)
				return nil
			})
		},
	}
	f := c.Flags()
	f.StringVar(&scale, "scale-in", "", "scale length of the weighed strings, inches")
	f.IntVar(&form.Strings, "strings", 0, "strings weighed together")
	f.StringVar(&mass, "mass-g", "", "what all of them weigh, grams")
	f.StringVar(&cores, "cores-g", "", "what as many bare cores weigh")
	f.StringVar(&ends, "ends-g", "", "what as many ball ends weigh; 0 where the strings were weighed without")
	f.StringVar(&resolution, "resolution-g", "", "smallest step of the scale (default the shop's)")
	f.StringVar(&gauges, "gauges-thou", "", "measured gauges, with commas between")
	f.StringVar(&step, "gauge-step-thou", "", "step of the micrometer (default 0.05)")
	f.StringVar(&form.Note, "note", "", "a few words")
	f.BoolVar(&form.Confirm, "confirm", false, "the owner's word for what would be questioned")
	f.Int64Var(&takeBack, "take-back", 0, "take back the calibration of this number")
	f.StringVar(&reason, "reason", "", "why it is taken back")
	a.jsonFlag(c)
	return c
}

// printCalibrated prints a recipe as computed and as calibrated.
func (a *app) printCalibrated(c workshop.Calibrated) {
	switch n := c.Factor.Weighings; {
	case n == 0 && c.Factor.Value == 1:
		a.say("%s  nothing was weighed of it or its family: wire counts as computed", c.Recipe)
	case n == 0:
		a.say("%s  wire factor %.4f ± %.4f, its family's: nothing was weighed of it", c.Recipe, c.Factor.Value, c.Factor.StdError)
	default:
		a.say("%s  wire factor %.4f ± %.4f from %s", c.Recipe, c.Factor.Value, c.Factor.StdError, counted(n, "weighing", "weighings"))
	}
	if c.Questioned != "" {
		a.say("  questioned: %s", c.Questioned)
	}
	for i, u := range c.Computed {
		a.say("  %-14s %10.3f g computed  %10.3f g calibrated, a string of %s in", u.Wire, u.Each.Milligrams()/1000, c.Used[i].Each.Milligrams()/1000, c.Scale.InchText())
	}
	measured := "not measured"
	if c.Gauges > 0 {
		measured = fmt.Sprintf("%.3f ± %.3f measured on %s", c.Measured/float64(measure.Thou), c.Uncertainty/float64(measure.Thou), counted(c.Gauges, "string", "strings"))
	}
	a.say("  gauge %.3f thou computed, %s", c.Gauge/float64(measure.Thou), measured)
	if g := c.CalibratedGauge; g != nil {
		from := "the strings measured and what was expected of them, each by how sure it is"
		if g.Strings == 0 {
			from = fmt.Sprintf("%d measured recipes of its kind", g.Recipes)
		}
		a.say("  calibrated gauge %.3f ± %.3f thou, from %s", g.Gauge/float64(measure.Thou), g.Uncertainty/float64(measure.Thou), from)
	}
	if m := c.CalibratedMass; m != nil {
		a.say("  %.4f g/m computed, %.4f ± %.4f g/m calibrated on %s: the tension goes with it",
			c.MassPerM.GramsPerMetre(), m.PerM.GramsPerMetre(), m.Uncertainty.GramsPerMetre(), counted(m.Strings, "finished string", "finished strings"))
	}
	for _, one := range c.Calibrations {
		if one.Reverses != 0 {
			a.say("  %d takes back %d: %s", one.Number, one.Reverses, one.Note)
			continue
		}
		var what []string
		if one.Strings > 0 {
			what = append(what, fmt.Sprintf("%s weighed, %s", counted(one.Strings, "string", "strings"), one.Mass))
		}
		if one.Gauges > 0 {
			what = append(what, fmt.Sprintf("%s measured, mean %.3f thou", counted(one.Gauges, "string", "strings"), one.Gauge/float64(measure.Thou)))
		}
		a.say("  %d  %s  %s  %s", one.Number, one.At.Format("2006-01-02"), strings.Join(what, "; "), one.Note)
	}
}
