package planning

import (
	"fmt"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
)

// Changes is what the lead wants otherwise, or what happened, since a plan was made. Pins and held strings are part of the plan
// that comes of it, and hold in later changes.
type Changes struct {
	Pin    []batch.Code // stay on their machine and at their place
	Unpin  []batch.Code
	Hold   []batch.Code // are left out of the day
	Resume []Held       // come in again
	Move   []Move
	Split  []Split
	Down   []catalog.MachineCode // wind nothing more but what is released to them
	Late   []Delay
	Done   []Done
}

// Held is a string that is not wound on the day.
type Held struct {
	Recipe catalog.RecipeCode
	Scale  measure.Size
}

// Delayed is a string of which a batch takes longer than reckoned.
type Delayed struct {
	Recipe catalog.RecipeCode
	Scale  measure.Size
	By     time.Duration
}

// Move puts a batch on a machine and pins it there.
type Move struct {
	Batch   batch.Code
	Machine catalog.MachineCode
	Place   int // in the machine's sequence, from 1; beyond its end is the end
}

// Split makes a batch of its own, on another machine, of some of a batch's ordered strings.
type Split struct {
	Batch   batch.Code
	Strings int
	Machine catalog.MachineCode
}

// Delay is how much longer a batch takes than planned.
type Delay struct {
	Batch batch.Code
	By    time.Duration
}

// Done is a batch that is wound.
type Done struct {
	Batch batch.Code
	Took  time.Duration // winding; zero is as planned
}

// revision applies changes to a draft made of a kept plan.
type revision struct {
	*draft
	kept Plan
}

func (r *revision) apply(c Changes) error {
	steps := []error{}
	each := func(err error) { steps = append(steps, err) }
	for _, x := range c.Done {
		each(r.onBatch(x.Batch, "done", true, func(m, at int) error { return r.finish(m, at, x.Took) }))
	}
	for _, x := range c.Late {
		each(r.onBatch(x.Batch, "late", true, func(m, at int) error { r.delayBy(m, at, x.By); return nil }))
	}
	for _, code := range c.Unpin {
		each(r.onBatch(code, "unpin", false, func(m, at int) error { r.lanes[m].runs[at].fixed = false; return nil }))
	}
	for _, code := range c.Hold {
		each(r.onBatch(code, "hold", false, r.hold))
	}
	for _, x := range c.Split {
		each(r.onBatch(x.Batch, "split", false, func(m, at int) error { return r.split(m, at, x) }))
	}
	for _, x := range c.Move {
		each(r.onBatch(x.Batch, "move", true, func(m, at int) error { return r.move(m, at, x) }))
	}
	for _, code := range c.Pin {
		each(r.onBatch(code, "pin", true, func(m, at int) error { r.lanes[m].runs[at].fixed = true; return nil }))
	}
	for _, code := range c.Down {
		each(r.down(code))
	}
	for _, err := range steps {
		if err != nil {
			return err
		}
	}
	return nil
}

// onBatch finds a batch; one that is released may only be delayed, moved, pinned or finished.
func (r *revision) onBatch(code batch.Code, what string, released bool, do func(machine, at int) error) error {
	for m := range r.lanes {
		for at := range r.lanes[m].runs {
			run := &r.lanes[m].runs[at]
			if run.code != code {
				continue
			}
			if run.stands != nil && !released {
				return fmt.Errorf("%s: batch %s is %s; one that is proposed is wanted", what, code, run.stands.Status)
			}
			return do(m, at)
		}
	}
	return fmt.Errorf("%s: batch %q is not in the plan of %s", what, code, r.date)
}

func (r *revision) finish(m, at int, took time.Duration) error {
	run := &r.lanes[m].runs[at]
	if run.stands == nil {
		return fmt.Errorf("done: batch %s is proposed; one that is released is wanted", run.code)
	}
	done := *run.stands
	done.Status = batch.Finished
	run.stands, run.fixed = &done, true
	if took > 0 {
		r.delayBy(m, at, took-time.Duration(r.winding(run)))
	}
	return nil
}

func (r *revision) delayBy(m, at int, by time.Duration) {
	run := &r.lanes[m].runs[at]
	by = max(by, -time.Duration(r.winding(run)))
	run.delay += int64(by)
	r.lanes[m].work += int64(by)
}

func (r *revision) hold(m, at int) error {
	r.held[r.lanes[m].runs[at].group] = true
	r.takeOut(m, at)
	return nil
}

func (r *revision) split(m, at int, x Split) error {
	run := r.lanes[m].runs[at]
	to, err := r.machineFor(x.Machine, run.group, "split")
	switch {
	case err != nil:
		return err
	case x.Strings < 1 || x.Strings >= run.ordered:
		return fmt.Errorf("split: strings %d: 1 to %d of batch %s are wanted", x.Strings, run.ordered-1, x.Batch)
	}
	r.change(m, at, run.ordered-x.Strings)
	r.lanes[m].runs[at].apart = true
	end := len(r.lanes[to].runs)
	r.insert(to, end, run.group, x.Strings)
	r.lanes[to].runs[end].apart = true
	return nil
}

// machineFor finds a machine that takes a group and does not wind it yet.
func (r *revision) machineFor(code catalog.MachineCode, group int, what string) (int, error) {
	for m := range r.machines {
		switch {
		case r.machines[m].Code != code:
		case !r.groups[group].takes[m]:
			return 0, fmt.Errorf("%s: machine %s does not take recipe %s", what, code, r.groups[group].recipe)
		case r.lanes[m].find(group) >= 0:
			return 0, fmt.Errorf("%s: machine %s winds recipe %s at that length already", what, code, r.groups[group].recipe)
		default:
			return m, nil
		}
	}
	return 0, fmt.Errorf("%s: machine %q is not one of the shop's machines", what, code)
}

func (r *revision) move(m, at int, x Move) error {
	run := r.lanes[m].runs[at]
	to := m
	if r.machines[m].Code != x.Machine {
		var err error
		if to, err = r.machineFor(x.Machine, run.group, "move"); err != nil {
			return err
		}
	}
	if x.Place < 1 {
		return fmt.Errorf("move: place %d: 1 or more is wanted", x.Place)
	}
	run.fixed = true
	r.lanes[m].cut(r.shop, at, r.winding(&run))
	r.lanes[to].paste(r.shop, min(x.Place-1, len(r.lanes[to].runs)), run, r.winding(&run))
	return nil
}

func (r *revision) down(code catalog.MachineCode) error {
	for m := range r.machines {
		if r.machines[m].Code != code {
			continue
		}
		r.shut[m] = true
		for at := len(r.lanes[m].runs) - 1; at >= 0; at-- {
			if r.lanes[m].runs[at].stands == nil {
				r.takeOut(m, at)
			}
		}
		return nil
	}
	return fmt.Errorf("down: machine %q is not one of the shop's machines", code)
}
