package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"windingroom/internal/api"
	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/planning"
	"windingroom/internal/workshop"
)

func (a *app) plan() *cobra.Command {
	var date string
	var release bool
	var asked changeFlags
	c := &cobra.Command{
		Use:   "plan --date DATE",
		Short: "Propose the day's plan, change it, release it",
		Args:  noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			d, err := day("date", date)
			if err != nil {
				return err
			}
			changes, changed, err := asked.changes()
			if err != nil {
				return err
			}
			return a.withShop(c.Context(), func(ctx context.Context, shop *workshop.Shop) error {
				plan, err := planDay(ctx, shop, d, changes, changed)
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
			})
		},
	}
	c.Flags().StringVar(&date, "date", "", "the day, YYYY-MM-DD")
	c.Flags().BoolVar(&release, "release", false, "release the plan: its wire is allocated and it stands")
	asked.add(c.Flags())
	a.jsonFlag(c)
	return c
}

// planDay proposes a day or, where something is asked, changes what is proposed; a day without a plan is proposed first.
func planDay(ctx context.Context, shop *workshop.Shop, date calendar.Date, changes workshop.DayChanges, changed bool) (workshop.DayPlan, error) {
	if !changed {
		return shop.ProposeDay(ctx, date)
	}
	plan, err := shop.ReplanDay(ctx, date, changes)
	if errors.Is(err, workshop.ErrNotFound) {
		if _, err = shop.ProposeDay(ctx, date); err == nil {
			plan, err = shop.ReplanDay(ctx, date, changes)
		}
	}
	return plan, err
}

// printPlan prints a plan for people at a terminal.
func (a *app) printPlan(day workshop.DayPlan) {
	state := "proposed"
	switch standing := len(day.Standing()); {
	case day.Released:
		state = "released"
	case standing > 0:
		state = fmt.Sprintf("%s released, what is new is proposed", counted(standing, "batch", "batches"))
	}
	a.say("%s, %s: setup %.1f min, least possible for these batches %.1f min", day.Date, state, day.Setup.Minutes(), day.SetupBound.Minutes())
	a.say("  %s", day.Proof)
	for _, c := range day.Cancelled {
		a.say("  %s", c)
	}
	a.printAsked(day)
	for _, m := range day.Machines {
		a.say("%s", m.Machine)
		for _, b := range m.Batches {
			mark := " "
			if b.Status == batch.Proposed && !day.Released && len(day.Standing()) > 0 {
				mark = "+" // new beside what is released
			}
			a.say("%s %2d  %s  %-20s %6s in  %4d ordered %4d to wind  setup %5.1f  run %6.1f  %s-%s", mark, b.Sequence, b.Code, b.Recipe,
				b.Scale.InchText(), b.Ordered, b.ToWind, b.Setup.Minutes(), b.Run.Minutes(), clock(b.Starts), clock(b.Ends))
		}
	}
	for _, u := range day.NotPlanned {
		a.say("not planned: order %s line %d position %d, %s: %s: %s", u.Order, u.Line, u.Position, counted(u.Strings, "string", "strings"), u.Why, u.Detail)
	}
	if len(day.Late) > 0 {
		late := make([]string, len(day.Late))
		for i, o := range day.Late {
			late[i] = string(o)
		}
		a.say("late: %s", strings.Join(late, ", "))
	}
}

// printAsked prints what the lead asked of a plan, and what differs from the plan before.
func (a *app) printAsked(day workshop.DayPlan) {
	for _, code := range day.Pinned {
		a.say("  pinned: %s", code)
	}
	for _, h := range day.Held {
		a.say("  held: %s at %s in", h.Recipe, h.Scale.InchText())
	}
	for _, l := range day.Delayed {
		a.say("  not in the day, takes %g min longer: %s at %s in", l.By.Minutes(), l.Recipe, l.Scale.InchText())
	}
	for _, m := range day.Down {
		a.say("  down: %s", m)
	}
	if day.Allowed > 0 {
		a.say("  overtime: %g min allowed on each machine, %g min taken", day.Allowed.Minutes(), day.Overtime.Minutes())
	}
	for _, d := range day.Differences {
		a.say("  changed: %s", differenceText(d))
	}
}

// differenceText tells what became of a batch.
func differenceText(d planning.Difference) string {
	text := fmt.Sprintf("%s %s", d.Batch, d.What)
	switch d.What {
	case planning.CameIn:
		return text + fmt.Sprintf(" at place %d of %s (%s of %s at %s in)", d.To.Place, d.To.Machine, counted(d.Is, "string", "strings"), d.Recipe, d.Scale.InchText())
	case planning.WentOut:
		return text + fmt.Sprintf(" (%s of %s at %s in)", counted(d.Was, "string", "strings"), d.Recipe, d.Scale.InchText())
	case planning.Moved:
		text += fmt.Sprintf(" from place %d of %s to place %d of %s", d.From.Place, d.From.Machine, d.To.Place, d.To.Machine)
	}
	if d.Was != d.Is {
		text += fmt.Sprintf(", %s ordered instead of %d", counted(d.Is, "string", "strings"), d.Was)
	}
	return text + fmt.Sprintf(" (%s at %s in)", d.Recipe, d.Scale.InchText())
}
