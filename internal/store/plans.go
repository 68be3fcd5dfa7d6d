package store

import (
	"fmt"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/workshop"
)

type planRow struct {
	Date       calendar.Date
	ProposedAt time.Time
	Released   bool
	ReleasedBy string
	ReleasedAt *time.Time
	Setup      time.Duration
	SetupBound time.Duration
}

type unplannedRow struct {
	OrderCode order.Code
	Line      int
	Position  int
	Strings   int
	Why       planning.Why
	Detail    string
}

// Plan gives the plan of a day as it was saved last.
func (r *reader) Plan(date calendar.Date) (workshop.DayPlan, error) {
	row, err := one[planRow](r, "SELECT * FROM plans WHERE date = ?", day(date))
	if err != nil {
		return workshop.DayPlan{}, named("plan", date.String(), err)
	}
	p := workshop.DayPlan{
		Plan:     planning.Plan{Date: row.Date, Setup: row.Setup, SetupBound: row.SetupBound},
		Released: row.Released, ReleasedBy: row.ReleasedBy, ProposedAt: row.ProposedAt.UTC(),
	}
	if row.ReleasedAt != nil {
		p.ReleasedAt = row.ReleasedAt.UTC()
	}
	if p.Machines, err = r.machineDays(date); err != nil {
		return workshop.DayPlan{}, err
	}
	if p.NotPlanned, err = r.unplanned(date); err != nil {
		return workshop.DayPlan{}, err
	}
	p.Late, err = list[order.Code](r, "SELECT order_code FROM plan_late WHERE date = ? ORDER BY number", day(date))
	return p, err
}

func (r *reader) machineDays(date calendar.Date) ([]planning.MachineDay, error) {
	loads, err := r.loads("SELECT * FROM machine_loads WHERE date = ? ORDER BY machine", day(date))
	if err != nil {
		return nil, err
	}
	batches, err := r.Batches(workshop.BatchFilter{Date: date})
	if err != nil {
		return nil, err
	}
	of := map[catalog.MachineCode][]batch.Batch{}
	for _, b := range batches {
		of[b.Machine] = append(of[b.Machine], b)
	}
	var days []planning.MachineDay
	for _, l := range loads {
		days = append(days, planning.MachineDay{Machine: l.Machine, Batches: of[l.Machine], After: l.loaded()})
	}
	return days, nil
}

func (r *reader) unplanned(date calendar.Date) ([]planning.NotPlanned, error) {
	rows, err := list[unplannedRow](r, "SELECT * FROM plan_unplanned WHERE date = ? ORDER BY number", day(date))
	var out []planning.NotPlanned
	for _, u := range rows {
		out = append(out, planning.NotPlanned{Order: u.OrderCode, Line: u.Line, Position: u.Position, Strings: u.Strings,
			Why: u.Why, Detail: u.Detail})
	}
	return out, err
}

// SavePlan replaces the proposal of its day. What it saves is a proposal, whatever the plan says: Release makes it more.
func (t *tx) SavePlan(p workshop.DayPlan) error {
	date := day(p.Date)
	n, err := t.exec(`INSERT INTO plans (date, proposed_at, released, released_by, setup, setup_bound) VALUES (?, ?, ?, '', ?, ?)
		ON CONFLICT (date) DO UPDATE
		SET proposed_at = excluded.proposed_at, setup = excluded.setup, setup_bound = excluded.setup_bound
		WHERE NOT plans.released`, date, instant(p.ProposedAt), false, int64(p.Setup), int64(p.SetupBound))
	switch {
	case err != nil:
		return named("plan", p.Date.String(), err)
	case n == 0:
		return named("plan", p.Date.String(), workshop.ErrReleased)
	}
	if err := t.clearPlan(p.Date); err != nil {
		return err
	}
	var batches []batch.Batch
	for _, m := range p.Machines {
		for _, b := range m.Batches {
			b.Date, b.Machine, b.Status = p.Date, m.Machine, batch.Proposed
			batches = append(batches, b)
		}
	}
	if err := t.addBatches(batches); err != nil {
		return err
	}
	if err := t.addLoads(p.Date, p.Machines); err != nil {
		return err
	}
	return t.addLeftOver(p.Plan)
}

// clearPlan removes what a proposal consists of.
func (t *tx) clearPlan(date calendar.Date) error {
	for _, statement := range []string{
		"DELETE FROM batch_draws WHERE batch IN (SELECT code FROM batches WHERE date = ?)",
		"DELETE FROM batch_serves WHERE batch IN (SELECT code FROM batches WHERE date = ?)",
		"DELETE FROM batches WHERE date = ?",
		"DELETE FROM machine_loads WHERE date = ?",
		"DELETE FROM plan_unplanned WHERE date = ?",
		"DELETE FROM plan_late WHERE date = ?",
	} {
		if _, err := t.exec(statement, day(date)); err != nil {
			return err
		}
	}
	return nil
}

// addLeftOver keeps what the plan leaves out and which orders are late.
func (t *tx) addLeftOver(p planning.Plan) error {
	n := 0
	next := func() int { n++; return n }
	err := insert(t, "plan_unplanned", "date, number, order_code, line, position, strings, why, detail", p.NotPlanned,
		func(u planning.NotPlanned) []any {
			return []any{day(p.Date), next(), u.Order, u.Line, u.Position, u.Strings, u.Why, u.Detail}
		})
	if err != nil {
		return err
	}
	n = 0
	return insert(t, "plan_late", "date, number, order_code", p.Late, func(c order.Code) []any {
		return []any{day(p.Date), next(), c}
	})
}

// Release marks the proposal of a day, and its batches, released. Their wire is allocated by Allocate.
func (t *tx) Release(date calendar.Date, by string, at time.Time) error {
	n, err := t.exec("UPDATE plans SET released = ?, released_by = ?, released_at = ? WHERE date = ? AND NOT released",
		true, by, instant(at), day(date))
	if err != nil {
		return named("plan", date.String(), err)
	}
	if n == 0 {
		if _, err := t.Plan(date); err != nil {
			return err
		}
		return named("plan", date.String(), workshop.ErrReleased)
	}
	_, err = t.exec("UPDATE batch_draws SET allocated = mass WHERE batch IN (SELECT code FROM batches WHERE date = ? AND status = ?)",
		day(date), batch.Proposed)
	if err != nil {
		return fmt.Errorf("draws of %s: %w", date, err)
	}
	if _, err := t.exec("UPDATE batches SET status = ? WHERE date = ? AND status = ?", batch.Released, day(date), batch.Proposed); err != nil {
		return fmt.Errorf("batches of %s: %w", date, err)
	}
	return nil
}
