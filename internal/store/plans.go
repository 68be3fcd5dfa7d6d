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
	Date            calendar.Date
	ProposedAt      time.Time
	Released        bool // something of it
	ReleasedBy      string
	ReleasedAt      *time.Time
	Setup           time.Duration
	SetupBound      time.Duration
	Lateness        int64
	LateBound       int64
	Optimal         bool
	Proof           string
	Overtime        time.Duration
	OvertimeAllowed time.Duration
}

func (r planRow) plan() workshop.DayPlan {
	p := workshop.DayPlan{
		Plan: planning.Plan{Date: r.Date, Setup: r.Setup, SetupBound: r.SetupBound, Overtime: r.Overtime, Lateness: r.Lateness,
			LateBound: r.LateBound, Optimal: r.Optimal, Proof: r.Proof},
		Released: r.Released, ReleasedBy: r.ReleasedBy, ProposedAt: r.ProposedAt.UTC(), Allowed: r.OvertimeAllowed,
	}
	if r.ReleasedAt != nil {
		p.ReleasedAt = r.ReleasedAt.UTC()
	}
	return p
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
	p := row.plan()
	if p.Machines, err = r.machineDays(date); err != nil {
		return workshop.DayPlan{}, err
	}
	for _, m := range p.Machines {
		for _, b := range m.Batches {
			p.Released = p.Released && b.Status != batch.Proposed
		}
	}
	if p.NotPlanned, err = r.unplanned(date); err != nil {
		return workshop.DayPlan{}, err
	}
	if p.Late, err = list[order.Code](r, "SELECT order_code FROM plan_late WHERE date = ? ORDER BY number", day(date)); err != nil {
		return workshop.DayPlan{}, err
	}
	if p.Cancelled, err = r.cancelled(date); err != nil {
		return workshop.DayPlan{}, err
	}
	return p, r.wishes(&p)
}

// cancelled gives the strings of a day's released batches whose order is cancelled.
func (r *reader) cancelled(date calendar.Date) ([]workshop.Cancelled, error) {
	return list[workshop.Cancelled](r, `SELECT v.batch AS batch, v.order_code AS "order", sum(v.strings) AS strings,
			NOT EXISTS (SELECT 1 FROM batch_serves w JOIN orders x ON x.code = w.order_code WHERE w.batch = v.batch AND x.status <> 'cancelled') AS "all"
		FROM batch_serves v JOIN batches b ON b.code = v.batch JOIN orders o ON o.code = v.order_code
		WHERE b.date = ? AND b.status = 'released' AND o.status = 'cancelled'
		GROUP BY v.batch, v.order_code ORDER BY v.batch, v.order_code`, day(date))
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

// SavePlan replaces the proposals of a day. What it adds is proposed; Release makes it more.
func (t *tx) SavePlan(p workshop.DayPlan) error {
	date := day(p.Date)
	_, err := t.exec(`INSERT INTO plans (date, proposed_at, released, released_by, setup, setup_bound, lateness, late_bound, optimal, proof,
			overtime, overtime_allowed) VALUES (?, ?, ?, '', ?, ?, ?, ?, ?, ?, ?, ?)
		ON CONFLICT (date) DO UPDATE
		SET proposed_at = excluded.proposed_at, setup = excluded.setup, setup_bound = excluded.setup_bound, lateness = excluded.lateness,
			late_bound = excluded.late_bound, optimal = excluded.optimal, proof = excluded.proof, overtime = excluded.overtime,
			overtime_allowed = excluded.overtime_allowed`,
		date, instant(p.ProposedAt), false, int64(p.Setup), int64(p.SetupBound), p.Lateness, p.LateBound, p.Optimal, p.Proof,
		int64(p.Overtime), int64(p.Allowed))
	if err != nil {
		return named("plan", p.Date.String(), err)
	}
	if err := t.dropProposed(p.Date); err != nil {
		return err
	}
	if err := t.forget(p.Date); err != nil {
		return err
	}
	var proposed []batch.Batch
	for _, m := range p.Machines {
		for _, b := range m.Batches {
			if b.Date, b.Machine = p.Date, m.Machine; b.Status == batch.Released || b.Status == batch.Finished {
				continue
			}
			b.Status = batch.Proposed
			proposed = append(proposed, b)
		}
	}
	if err := t.noteNumbers(p.Date, proposed); err != nil {
		return err
	}
	if err := t.restand(p); err != nil {
		return err
	}
	if err := t.addBatches(proposed); err != nil {
		return err
	}
	if err := t.reopen(p.Date); err != nil {
		return err
	}
	if err := t.addLoads(p.Date, p.Machines); err != nil {
		return err
	}
	if err := t.addWishes(p); err != nil {
		return err
	}
	return t.addLeftOver(p.Plan)
}

// LastBatchNumber gives the highest number that a batch of a day was ever given.
func (r *reader) LastBatchNumber(date calendar.Date) (int, error) {
	return one[int](r, "SELECT COALESCE(MAX(number), 0) FROM batch_numbers WHERE date = ?", day(date))
}

// noteNumbers notes the highest number of a day's batches, if it is higher than all before.
func (t *tx) noteNumbers(date calendar.Date, batches []batch.Batch) error {
	last := 0
	for _, b := range batches {
		n, _ := b.Code.NumberOn(date)
		last = max(last, n)
	}
	_, err := t.exec(`INSERT INTO batch_numbers (date, number) VALUES (?, ?) ON CONFLICT (date) DO UPDATE
		SET number = CASE WHEN excluded.number > batch_numbers.number THEN excluded.number ELSE batch_numbers.number END`, day(date), last)
	return named("plan", date.String(), err)
}

// restand gives the batches of a day that stand the places and times of a plan, which must hold exactly those.
func (t *tx) restand(p workshop.DayPlan) error {
	if _, err := t.exec("UPDATE batches SET sequence = sequence + 1000000 WHERE date = ?", day(p.Date)); err != nil {
		return named("plan", p.Date.String(), err) // out of the way: no two share a place
	}
	standing, err := one[int](&t.reader, "SELECT count(*) FROM batches WHERE date = ?", day(p.Date))
	if err != nil {
		return err
	}
	for _, b := range p.Standing() {
		n, err := t.exec(`UPDATE batches SET machine = ?, sequence = ?, setup = ?, run = ?, delay = ?, starts = ?, ends = ?
			WHERE code = ? AND date = ? AND status = ?`,
			b.Machine, b.Sequence, int64(b.Setup), int64(b.Run), int64(b.Delay), int64(b.Starts), int64(b.Ends), b.Code, day(p.Date), b.Status)
		if err != nil {
			return named("batch", b.Code, err)
		}
		standing -= int(n)
		if n != 1 {
			standing = -1
			break
		}
	}
	if standing != 0 {
		return named("plan", p.Date.String(), workshop.ErrReleased)
	}
	return nil
}

// dropProposed removes the batches of a day that are not released.
func (t *tx) dropProposed(date calendar.Date) error {
	for _, statement := range []string{
		"DELETE FROM batch_draws WHERE batch IN (SELECT code FROM batches WHERE date = ? AND status = 'proposed')",
		"DELETE FROM batch_serves WHERE batch IN (SELECT code FROM batches WHERE date = ? AND status = 'proposed')",
		"DELETE FROM batches WHERE date = ? AND status = 'proposed'",
	} {
		if _, err := t.exec(statement, day(date)); err != nil {
			return err
		}
	}
	return nil
}

// addLeftOver keeps what the plan leaves out and which orders are late.
func (t *tx) addLeftOver(p planning.Plan) error {
	err := insert(t, "plan_unplanned", "date, number, order_code, line, position, strings, why, detail", p.NotPlanned,
		inOrder(func(n int, u planning.NotPlanned) []any {
			return []any{day(p.Date), n, u.Order, u.Line, u.Position, u.Strings, u.Why, u.Detail}
		}))
	if err != nil {
		return err
	}
	return insert(t, "plan_late", "date, number, order_code", p.Late, inOrder(func(n int, c order.Code) []any {
		return []any{day(p.Date), n, c}
	}))
}

// Release marks the proposed batches of a day released. Their wire is allocated by Allocate.
func (t *tx) Release(date calendar.Date, by string, at time.Time) error {
	n, err := t.exec(`UPDATE plans SET released = ?, released_by = ?, released_at = ?
		WHERE date = ? AND (NOT released OR EXISTS (SELECT 1 FROM batches b WHERE b.date = plans.date AND b.status = 'proposed'))`,
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
	if _, err := t.exec("DELETE FROM plan_pins WHERE date = ?", day(date)); err != nil { // what is released stays anyway
		return fmt.Errorf("pins of %s: %w", date, err)
	}
	if _, err := t.exec("UPDATE batches SET status = ? WHERE date = ? AND status = ?", batch.Released, day(date), batch.Proposed); err != nil {
		return fmt.Errorf("batches of %s: %w", date, err)
	}
	return nil
}

// TakeBack makes a released batch a proposed one, and its day a proposal when nothing of it is released any more.
func (t *tx) TakeBack(code batch.Code) error {
	if err := t.SetBatchStatus(code, batch.Released, batch.Proposed); err != nil {
		return err
	}
	date, err := one[calendar.Date](&t.reader, "SELECT date FROM batches WHERE code = ?", code)
	if err != nil {
		return named("batch", code, err)
	}
	return t.reopen(date)
}

// reopen makes a day a proposal again when all its batches are proposed.
func (t *tx) reopen(date calendar.Date) error {
	_, err := t.exec(`UPDATE plans SET released = ?, released_by = '', released_at = NULL
		WHERE date = ? AND released AND EXISTS (SELECT 1 FROM batches b WHERE b.date = plans.date)
			AND NOT EXISTS (SELECT 1 FROM batches b WHERE b.date = plans.date AND b.status <> 'proposed')`, false, day(date))
	return named("plan", date.String(), err)
}
