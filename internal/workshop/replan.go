package workshop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/planning"
)

// DayChanges is what the lead wants otherwise, or what happened, since a day was planned. Each says how things shall be: asked
// twice, the second time changes nothing.
type DayChanges struct {
	Pin, Unpin  []batch.Code // stay on their machine and at their place
	Hold        []batch.Code // their strings are not wound on the day
	HoldStrings []planning.Held
	Resume      []planning.Held // are wound again
	Move        []planning.Move
	Split       []planning.Split // without a machine: to the one with most time left
	Late        []planning.Delay // how much longer a batch takes than reckoned, in all
	Down, Up    []catalog.MachineCode
	Overtime    *time.Duration // that is allowed on each machine; nil leaves it as it is
	Anew        bool           // first forget all of the above that was asked before, and plan what is not released anew
}

// ReplanDay makes a day's plan anew round what is kept of it and keeps it in place of the last one. Batches that are released or
// finished stay as they are, with orders and spools, unless they are moved; results that came in count, and finished stock is used
// as in ProposeDay. The answer carries what
// differs from the last plan. It fails with ErrNotFound when the day has no plan, with ErrStage when a batch is too far for what
// is asked. Only a lead or an owner may.
func (s *Shop) ReplanDay(ctx context.Context, date calendar.Date, changes DayChanges) (DayPlan, error) {
	p, err := allow(ctx, "changing a day's plan", Lead)
	if err != nil {
		return DayPlan{}, err
	}
	var w workday
	err = s.Store.Read(ctx, func(r Reader) error {
		if w, err = readWorkday(r, date); err == nil && !w.planned {
			_, err = planOf(r, date)
		}
		return err
	})
	if err != nil {
		return DayPlan{}, err
	}
	next, err := w.change(changes)
	if err != nil {
		return DayPlan{}, err
	}
	day, err := s.keepPlan(ctx, p, w, next, "change plan", changes.String())
	if len(planning.Differences(w.kept.Plan, day.Plan)) == 0 {
		day.Differences = nil
	}
	return day, err
}

// keepPlan keeps a plan in place of the one it was made from, which must still be there. The search runs between two transactions
// so that no one waits for it.
func (s *Shop) keepPlan(ctx context.Context, p Person, w workday, next DayPlan, act, detail string) (DayPlan, error) {
	if err := noteEach(next.Plan, w.input.Bench); err != nil {
		return DayPlan{}, err
	}
	next.Differences = nil
	if w.planned {
		next.Differences = planning.Differences(w.kept.Plan, next.Plan)
	}
	if len(next.Differences) == 0 {
		next.Differences = w.kept.Differences // the last ones stand
	}
	next.ProposedAt = s.Now().UTC()
	date := next.Date
	var kept DayPlan
	err := s.Store.InTx(ctx, func(tx Tx) error {
		if err := w.stillThere(tx); err != nil {
			return err
		}
		if err := w.numbersFree(tx, next); err != nil {
			return err
		}
		if err := tx.SavePlan(next); err != nil {
			return fmt.Errorf("the plan of %s: %w", date, err)
		}
		if err := s.giveAsPlanned(tx, p, w.given); err != nil {
			return err
		}
		if err := tx.Record(s.audit(p, act, date.String(), detail)); err != nil {
			return err
		}
		var err error
		kept, err = tx.Plan(date)
		return err
	})
	return kept, err
}

// stillThere refuses to write over a plan that was not seen: batches were released, finished or taken back since, or somebody
// changed it. Two who propose a day with nothing released may: the same shop gives the same proposal.
func (w workday) stillThere(r Reader) error {
	now, err := r.Plan(w.input.Date)
	if err != nil {
		return nil // it was dropped with an order's change, or there was none: nothing is lost
	}
	same := slices.EqualFunc(now.Standing(), w.kept.Standing(), func(a, b batch.Batch) bool { return a.Code == b.Code && a.Status == b.Status })
	if w.planned && (len(w.kept.Standing()) > 0 || wished(now) || wished(w.kept)) {
		same = same && now.ProposedAt.Equal(w.kept.ProposedAt)
	}
	if !same {
		return fmt.Errorf("the plan of %s: look at it again: %w", w.input.Date, ErrChanged)
	}
	return nil
}

// numbersFree refuses a plan whose new batches bear numbers that another plan of the day, kept meanwhile, gave to other strings.
func (w workday) numbersFree(r Reader, next DayPlan) error {
	last, err := r.LastBatchNumber(next.Date)
	if err != nil || last == w.input.LastNumber {
		return err
	}
	now, err := r.Plan(next.Date)
	if err != nil && !errors.Is(err, ErrNotFound) {
		return err
	}
	theirs := slices.Collect(batchesOf(now.Plan))
	for b := range batchesOf(next.Plan) {
		n, _ := b.Code.NumberOn(next.Date)
		same := func(o batch.Batch) bool { return o.Code == b.Code && o.Recipe == b.Recipe && o.Scale == b.Scale }
		if n > w.input.LastNumber && n <= last && !slices.ContainsFunc(theirs, same) {
			return fmt.Errorf("the plan of %s: another was kept meanwhile, look at it again: %w", next.Date, ErrChanged)
		}
	}
	return nil
}

// String tells the changes in a line, for the audit.
func (c DayChanges) String() string {
	var parts []string
	say := func(format string, args ...any) { parts = append(parts, fmt.Sprintf(format, args...)) }
	if c.Anew {
		say("anew")
	}
	for _, list := range []struct {
		what  string
		codes []batch.Code
	}{{"pin", c.Pin}, {"unpin", c.Unpin}, {"hold", c.Hold}} {
		for _, code := range list.codes {
			say("%s %s", list.what, code)
		}
	}
	for _, h := range c.HoldStrings {
		say("hold %s at %s in", h.Recipe, h.Scale.InchText())
	}
	for _, h := range c.Resume {
		say("resume %s at %s in", h.Recipe, h.Scale.InchText())
	}
	for _, m := range c.Move {
		say("move %s to %s, place %d", m.Batch, m.Machine, m.Place)
	}
	for _, x := range c.Split {
		say("split %d strings off %s", x.Strings, x.Batch)
	}
	for _, l := range c.Late {
		say("%s takes %g min longer", l.Batch, l.By.Minutes())
	}
	for _, m := range c.Down {
		say("%s is down", m)
	}
	for _, m := range c.Up {
		say("%s is up", m)
	}
	if c.Overtime != nil {
		say("overtime %g min", c.Overtime.Minutes())
	}
	return strings.Join(parts, "; ")
}
