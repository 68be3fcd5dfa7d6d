package workshop

import (
	"errors"
	"slices"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/planning"
)

// workday is a day to be planned: the room, the plan that is kept of it, and what came off its machines.
type workday struct {
	input   planning.Input
	given   []batch.Given // out of finished stock; the input wants it no more
	kept    DayPlan
	planned bool                         // there is a kept plan
	took    map[batch.Code]time.Duration // of finished batches whose minutes were told
	recipes []catalog.Recipe
}

func readWorkday(r Reader, date calendar.Date) (w workday, err error) {
	w.kept, err = r.Plan(date)
	if w.planned = err == nil; !w.planned && !errors.Is(err, ErrNotFound) {
		return w, err
	}
	if w.input, w.given, err = planInput(r, date); err != nil {
		return w, err
	}
	w.input.Overtime = w.kept.Allowed
	for b := range batchesOf(w.kept.Plan) {
		w.input.Before = append(w.input.Before, b)
	}
	if w.input.LastNumber, err = r.LastBatchNumber(date); err != nil {
		return w, err
	}
	for i := range w.input.Machines {
		w.input.Machines[i].Down = slices.Contains(w.kept.Down, w.input.Machines[i].Code)
	}
	if w.recipes, err = r.Recipes(); err != nil {
		return w, err
	}
	w.took = map[batch.Code]time.Duration{}
	for _, b := range w.kept.Standing() {
		if b.Status != batch.Finished {
			continue
		}
		results, err := r.Results(b.Code)
		if err != nil {
			return w, err
		}
		for _, res := range results {
			if res.Stands() {
				w.took[b.Code] += res.Minutes
			}
		}
	}
	return w, nil
}

// news gives the finished batches that took another time than planned.
func (w workday) news() (c planning.Changes) {
	for _, b := range w.kept.Standing() {
		if took := w.took[b.Code]; took > 0 && took != b.Run {
			c.Done = append(c.Done, planning.Done{Batch: b.Code, Took: took})
		}
	}
	return c
}

// again makes changes that have the day planned again even where they ask for nothing: a plan with no change is given back.
func again(c planning.Changes) planning.Changes {
	if c.Resume == nil {
		c.Resume = []planning.Held{}
	}
	return c
}

// wished says whether the lead has asked anything of a plan of the day.
func wished(p DayPlan) bool {
	if len(p.Pinned)+len(p.Held)+len(p.Down)+len(p.Delayed) > 0 || p.Allowed > 0 {
		return true
	}
	for b := range batchesOf(p.Plan) {
		if b.Delay != 0 {
			return true
		}
	}
	return false
}

// only gives a plan with some of its batches.
func only(p planning.Plan, keep func(batch.Batch) bool) planning.Plan {
	p.Machines = slices.Clone(p.Machines)
	for i := range p.Machines {
		p.Machines[i].Batches = slices.DeleteFunc(slices.Clone(p.Machines[i].Batches), func(b batch.Batch) bool { return !keep(b) })
	}
	return p
}

// strings finds strings by their recipe's code, matched without case.
func (w workday) strings(h planning.Held, field string) (planning.Held, error) {
	for _, c := range w.recipes {
		if equalCodes(c.Code, h.Recipe) {
			h.Recipe = c.Code
			return h, nil
		}
	}
	return h, wrong(field, "recipe %q is not one of the shop's recipes", h.Recipe)
}

// machine finds a machine of the day by its code, matched without case.
func (w workday) machine(code catalog.MachineCode, field string) (planning.Machine, error) {
	for _, m := range w.input.Machines {
		if equalCodes(m.Code, code) {
			return m, nil
		}
	}
	return planning.Machine{}, wrong(field, "machine %q is not one of the shop's machines", code)
}
