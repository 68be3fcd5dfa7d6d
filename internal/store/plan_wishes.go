package store

import (
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/planning"
	"windingroom/internal/workshop"
)

type differenceRow struct {
	What        string
	Batch       batch.Code
	Recipe      catalog.RecipeCode
	Scale       measure.Size
	FromMachine catalog.MachineCode
	FromPlace   int
	ToMachine   catalog.MachineCode
	ToPlace     int
	StringsWas  int
	StringsIs   int
	OtherDraws  bool
}

type delayRow struct {
	Recipe catalog.RecipeCode
	Scale  measure.Size
	Delay  time.Duration
}

// wishes reads what the lead asked of a plan, and what differs from the one before.
func (r *reader) wishes(p *workshop.DayPlan) error {
	var err error
	if p.Pinned, err = list[batch.Code](r, "SELECT batch FROM plan_pins WHERE date = ? ORDER BY number", day(p.Date)); err != nil {
		return err
	}
	if p.Held, err = list[planning.Held](r, "SELECT recipe, scale FROM plan_held WHERE date = ? ORDER BY number", day(p.Date)); err != nil {
		return err
	}
	delays, err := list[delayRow](r, "SELECT * FROM plan_delays WHERE date = ? ORDER BY number", day(p.Date))
	if err != nil {
		return err
	}
	for _, l := range delays {
		p.Delayed = append(p.Delayed, planning.Delayed{Recipe: l.Recipe, Scale: l.Scale, By: l.Delay})
	}
	if p.Down, err = list[catalog.MachineCode](r, "SELECT machine FROM plan_down WHERE date = ? ORDER BY machine", day(p.Date)); err != nil {
		return err
	}
	rows, err := list[differenceRow](r, "SELECT * FROM plan_differences WHERE date = ? ORDER BY number", day(p.Date))
	for _, d := range rows {
		p.Differences = append(p.Differences, planning.Difference{What: d.What, Batch: d.Batch, Recipe: d.Recipe, Scale: d.Scale,
			From: planning.Spot{Machine: d.FromMachine, Place: d.FromPlace}, To: planning.Spot{Machine: d.ToMachine, Place: d.ToPlace},
			Was: d.StringsWas, Is: d.StringsIs, OtherDraws: d.OtherDraws})
	}
	return err
}

// addWishes keeps them.
func (t *tx) addWishes(p workshop.DayPlan) error {
	date := day(p.Date)
	if err := insert(t, "plan_pins", "date, number, batch", p.Pinned, inOrder(func(n int, code batch.Code) []any {
		return []any{date, n, code}
	})); err != nil {
		return err
	}
	if err := insert(t, "plan_held", "date, number, recipe, scale", p.Held, inOrder(func(n int, h planning.Held) []any {
		return []any{date, n, h.Recipe, h.Scale}
	})); err != nil {
		return err
	}
	if err := insert(t, "plan_delays", "date, number, recipe, scale, delay", p.Delayed, inOrder(func(n int, l planning.Delayed) []any {
		return []any{date, n, l.Recipe, l.Scale, int64(l.By)}
	})); err != nil {
		return err
	}
	if err := insert(t, "plan_down", "date, machine", p.Down, func(m catalog.MachineCode) []any { return []any{date, m} }); err != nil {
		return err
	}
	const columns = "date, number, what, batch, recipe, scale, from_machine, from_place, to_machine, to_place, strings_was, strings_is, other_draws"
	return insert(t, "plan_differences", columns, p.Differences, inOrder(func(n int, d planning.Difference) []any {
		return []any{date, n, d.What, d.Batch, d.Recipe, d.Scale, orNull(d.From.Machine), d.From.Place, orNull(d.To.Machine), d.To.Place,
			d.Was, d.Is, d.OtherDraws}
	}))
}

// inOrder numbers the items of a list from 1, in their order.
func inOrder[T any](values func(int, T) []any) func(T) []any {
	n := 0
	return func(item T) []any {
		n++
		return values(n, item)
	}
}

// forget removes what was asked of a day's plan and what it left over.
func (t *tx) forget(date calendar.Date) error {
	for _, table := range []string{"machine_loads", "plan_unplanned", "plan_late", "plan_pins", "plan_held", "plan_delays", "plan_down", "plan_differences"} {
		if _, err := t.exec("DELETE FROM "+table+" WHERE date = ?", day(date)); err != nil {
			return err
		}
	}
	return nil
}
