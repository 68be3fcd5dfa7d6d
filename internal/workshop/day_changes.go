package workshop

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/planning"
)

// Bounds of what a lead may ask, against slips of the hand.
const (
	mostDelay    = 24 * time.Hour
	mostOvertime = 12 * time.Hour
)

// change makes the day's plan anew with changes, as it is when it is planned again with none.
func (w workday) change(asked DayChanges) (DayPlan, error) {
	if asked.Anew {
		w.kept = DayPlan{Plan: only(w.kept.Plan, func(b batch.Batch) bool { return b.Status != batch.Proposed })}
		w.kept.Pinned, w.kept.Held = nil, nil
	}
	asked, err := w.named(asked)
	if err != nil {
		return DayPlan{}, err
	}
	next := DayPlan{Allowed: w.kept.Allowed, Down: slices.Clone(w.kept.Down)}
	c := w.news()
	if w.kept.Pinned, err = w.pins(asked); err != nil {
		return next, err
	}
	for _, step := range []func(DayChanges, *planning.Changes) error{w.holds, w.moves, w.splits, w.delays} {
		if err := step(asked, &c); err != nil {
			return next, err
		}
	}
	if err := w.hours(asked, &next, &c); err != nil {
		return next, err
	}
	w.input.Overtime = next.Allowed
	if asked.Anew || next.Allowed != w.kept.Allowed || !slices.Equal(next.Down, w.kept.Down) {
		c = again(c)
	}
	w.kept.Held = slices.Clone(w.kept.Held)
	for _, h := range asked.HoldStrings { // of which no batch is planned
		if !slices.Contains(w.kept.Held, h) && !slices.ContainsFunc(w.batches(h), func(b batch.Batch) bool { return slices.Contains(c.Hold, b.Code) }) {
			w.kept.Held, c = append(w.kept.Held, h), again(c)
		}
	}
	if next.Plan, err = planning.Replan(w.input, w.kept.Plan, c); err != nil {
		return next, refusal(err)
	}
	for _, x := range c.Split {
		next.pinHalves(x)
	}
	if err := noteEach(next.Plan, w.input.Bench); err != nil {
		return next, err
	}
	settled, changed, err := w.with(next).propose()
	if err != nil || !changed {
		return next, err
	}
	return settled, nil
}

// named finds the strings that are to be held or resumed.
func (w workday) named(asked DayChanges) (DayChanges, error) {
	asked.HoldStrings, asked.Resume = slices.Clone(asked.HoldStrings), slices.Clone(asked.Resume)
	var err error
	for i, h := range asked.HoldStrings {
		if asked.HoldStrings[i], err = w.strings(h, "hold"); err != nil {
			return asked, err
		}
	}
	for i, h := range asked.Resume {
		if asked.Resume[i], err = w.strings(h, "resume"); err != nil {
			return asked, err
		}
	}
	return asked, nil
}

// refusal names the change that the planner refused; what is wrong with the room is no fault of the changes.
func refusal(err error) error {
	if what, text, ok := strings.Cut(err.Error(), ": "); ok && slices.Contains([]string{"pin", "unpin", "hold", "split", "move", "late", "down", "done"}, what) {
		return wrong(what, "%s", text)
	}
	return err
}

// batch finds a batch of the kept plan by its code, matched without case.
func (w workday) batch(code batch.Code, field string) (batch.Batch, error) {
	for b := range batchesOf(w.kept.Plan) {
		if equalCodes(b.Code, code) {
			return b, nil
		}
	}
	return batch.Batch{}, wrong(field, "batch %q is not in the plan of %s", code, w.input.Date)
}

// free finds a batch that is still proposed.
func (w workday) free(code batch.Code, field string) (batch.Batch, error) {
	b, err := w.batch(code, field)
	if err == nil && b.Status != batch.Proposed {
		return b, fmt.Errorf("%s: batch %s is %s; one that is proposed is wanted, and a released one may be taken back: %w", field, b.Code, b.Status, ErrStage)
	}
	return b, err
}

// batches gives the proposed batches of some strings.
func (w workday) batches(h planning.Held) (list []batch.Batch) {
	for b := range batchesOf(w.kept.Plan) {
		if b.Status == batch.Proposed && b.Recipe == h.Recipe && b.Scale == h.Scale {
			list = append(list, b)
		}
	}
	return list
}

// pins gives the pinned batches as they shall be. A plan is not made anew for them alone: they say what stays when it is.
func (w workday) pins(asked DayChanges) ([]batch.Code, error) {
	pinned := slices.Clone(w.kept.Pinned)
	for _, code := range asked.Pin {
		b, err := w.batch(code, "pin")
		if err != nil {
			return nil, err
		}
		if b.Status == batch.Proposed && !slices.Contains(pinned, b.Code) { // what is released stays anyway
			pinned = append(pinned, b.Code)
		}
	}
	for _, code := range asked.Unpin {
		b, err := w.free(code, "unpin")
		if err != nil {
			return nil, err
		}
		pinned = slices.DeleteFunc(pinned, func(p batch.Code) bool { return p == b.Code })
	}
	return pinned, nil
}

func (w workday) holds(asked DayChanges, c *planning.Changes) error {
	for _, code := range asked.Hold {
		b, err := w.free(code, "hold")
		if h, held := w.heldAs(code); err != nil && held {
			asked.HoldStrings = append(slices.Clone(asked.HoldStrings), h)
			continue
		}
		if err != nil {
			return err
		}
		asked.HoldStrings = append(slices.Clone(asked.HoldStrings), planning.Held{Recipe: b.Recipe, Scale: b.Scale})
	}
	for _, h := range asked.HoldStrings {
		for _, b := range w.batches(h) {
			if !slices.Contains(c.Hold, b.Code) {
				c.Hold = append(c.Hold, b.Code)
			}
		}
	}
	for _, h := range asked.Resume {
		if slices.Contains(w.kept.Held, h) {
			c.Resume = append(c.Resume, h)
		}
	}
	return nil
}

func (w workday) moves(asked DayChanges, c *planning.Changes) error {
	for _, x := range asked.Move {
		b, err := w.batch(x.Batch, "move")
		if err != nil {
			return err
		}
		m, err := w.machine(x.Machine, "move")
		switch {
		case err != nil:
			return err
		case b.Status == batch.Finished:
			return fmt.Errorf("move: batch %s is finished: %w", b.Code, ErrStage)
		case b.Machine == m.Code && b.Sequence == x.Place && (b.Status != batch.Proposed || slices.Contains(w.kept.Pinned, b.Code)):
			continue // it is there
		}
		c.Move = append(c.Move, planning.Move{Batch: b.Code, Machine: m.Code, Place: x.Place})
	}
	return nil
}

func (w workday) splits(asked DayChanges, c *planning.Changes) error {
	for _, x := range asked.Split {
		b, err := w.free(x.Batch, "split")
		if err != nil {
			return err
		}
		x.Batch = b.Code
		if x.Machine == "" {
			x.Machine, err = w.otherMachine(b)
		} else {
			var m planning.Machine
			m, err = w.machine(x.Machine, "split")
			x.Machine = m.Code
		}
		if err != nil {
			return err
		}
		c.Split = append(c.Split, x)
	}
	return nil
}

// otherMachine finds the machine with most time left that may take a part of a batch.
func (w workday) otherMachine(b batch.Batch) (catalog.MachineCode, error) {
	making, err := w.input.Bench.Making(b.Recipe, b.Scale)
	if err != nil {
		return "", err
	}
	var best catalog.MachineCode
	var most time.Duration
	for _, m := range w.input.Machines {
		if m.Down || !m.Takes(making.Plain(), making.CoreCut) {
			continue
		}
		left, winds := m.PerDay+w.input.Overtime, false
		for o := range batchesOf(w.kept.Plan) {
			if o.Machine == m.Code {
				left -= o.Setup + o.Run
				winds = winds || o.Status == batch.Proposed && o.Recipe == b.Recipe && o.Scale == b.Scale
			}
		}
		if !winds && (best == "" || left > most) {
			best, most = m.Code, left
		}
	}
	if best == "" {
		return "", wrong("split", "no other machine takes recipe %s at %s in", b.Recipe, b.Scale.InchText())
	}
	return best, nil
}

func (w workday) delays(asked DayChanges, c *planning.Changes) error {
	for _, x := range asked.Late {
		b, err := w.batch(x.Batch, "late")
		switch {
		case err != nil && !w.delayedAs(x):
			return err
		case b.Status == batch.Finished:
			return fmt.Errorf("late: batch %s is finished: %w", b.Code, ErrStage)
		case x.By < 0 || x.By > mostDelay:
			return wrong("late", "%g minutes: 0 to %g are wanted", x.By.Minutes(), mostDelay.Minutes())
		}
		if more := x.By - b.Delay; more != 0 && err == nil {
			c.Late = append(c.Late, planning.Delay{Batch: b.Code, By: more})
		}
	}
	return nil
}

// hours sets which machines are worked and how long.
func (w workday) hours(asked DayChanges, next *DayPlan, c *planning.Changes) error {
	for _, code := range asked.Up {
		m, err := w.machine(code, "up")
		if err != nil {
			return err
		}
		next.Down = slices.DeleteFunc(next.Down, func(d catalog.MachineCode) bool { return d == m.Code })
	}
	for _, code := range asked.Down {
		m, err := w.machine(code, "down")
		if err != nil {
			return err
		}
		if !slices.Contains(next.Down, m.Code) {
			next.Down = append(next.Down, m.Code)
			c.Down = append(c.Down, m.Code)
		}
	}
	slices.Sort(next.Down)
	if o := asked.Overtime; o != nil {
		if *o < 0 || *o > mostOvertime {
			return wrong("overtime", "%g minutes: 0 to %g are wanted", o.Minutes(), mostOvertime.Minutes())
		}
		next.Allowed = *o
	}
	for i := range w.input.Machines { // the slice is the day's own
		w.input.Machines[i].Down = slices.Contains(next.Down, w.input.Machines[i].Code)
	}
	return nil
}

// pinHalves pins both parts of a batch that was split: they shall stay apart.
func (d *DayPlan) pinHalves(x planning.Split) {
	var whole batch.Batch
	for b := range batchesOf(d.Plan) {
		if b.Code == x.Batch {
			whole = b
		}
	}
	d.Pinned = slices.Clone(d.Pinned)
	for b := range batchesOf(d.Plan) {
		half := b.Code == x.Batch || b.Machine == x.Machine && b.Status == batch.Proposed && b.Recipe == whole.Recipe && b.Scale == whole.Scale
		if half && !slices.Contains(d.Pinned, b.Code) {
			d.Pinned = append(d.Pinned, b.Code)
		}
	}
}

func equalCodes[C ~string](a, b C) bool { return strings.EqualFold(string(a), string(b)) }
