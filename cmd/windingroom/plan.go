package main

import (
	"strings"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/workshop"
)

func (a *app) plan() *cobra.Command {
	var date string
	var release bool
	c := &cobra.Command{
		Use:   "plan --date DATE",
		Short: "Propose the day's plan, or propose and release it",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			d, err := day("date", date)
			if err != nil {
				return err
			}
			ctx, shop, closeShop, err := a.open(c.Context())
			if err != nil {
				return err
			}
			defer closeShop()
			plan, err := shop.ProposeDay(ctx, d)
			if err == nil && release {
				plan, err = shop.ReleaseDay(ctx, d)
			}
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(api.PlanBody(plan))
			}
			a.printPlan(plan)
			return nil
		},
	}
	c.Flags().StringVar(&date, "date", "", "the day, YYYY-MM-DD")
	c.Flags().BoolVar(&release, "release", false, "release the plan: its wire is allocated and it stands")
	a.jsonFlag(c)
	return c
}

// printPlan prints a plan for people at a terminal.
func (a *app) printPlan(day workshop.DayPlan) {
	state := "proposed"
	if day.Released {
		state = "released"
	}
	a.say("%s, %s: setup %.1f min, least possible for these batches %.1f min", day.Date, state, day.Setup.Minutes(), day.SetupBound.Minutes())
	for _, m := range day.Machines {
		a.say("%s", m.Machine)
		for _, b := range m.Batches {
			a.say("  %2d  %s  %-20s %6s in  %4d ordered %4d to wind  setup %5.1f  run %6.1f  %s-%s", b.Sequence, b.Code, b.Recipe,
				b.Scale.InchText(), b.Ordered, b.ToWind, b.Setup.Minutes(), b.Run.Minutes(), clock(b.Starts), clock(b.Ends))
		}
	}
	for _, u := range day.NotPlanned {
		a.say("not planned: order %s line %d position %d, %d strings: %s: %s", u.Order, u.Line, u.Position, u.Strings, u.Why, u.Detail)
	}
	if len(day.Late) > 0 {
		late := make([]string, len(day.Late))
		for i, o := range day.Late {
			late[i] = string(o)
		}
		a.say("late: %s", strings.Join(late, ", "))
	}
}
