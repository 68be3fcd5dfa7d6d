package workshop

import (
	"cmp"
	"reflect"
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/planning"
)

// settlings bounds how often a day is planned on. Every time it is a better one, so two or three are enough.
const settlings = 6

// propose plans the day on from its kept plan until that is what planning it again gives. changed is false where the kept plan
// stands as it is.
func (w workday) propose() (next DayPlan, changed bool, err error) {
	for range settlings {
		again, more, err := w.proposeOnce()
		if err != nil || !more {
			return again, changed, err
		}
		w, next, changed = w.with(again), again, true
	}
	return next, changed, nil
}

// with gives the day with another plan in place of the kept one.
func (w workday) with(next DayPlan) workday {
	before := slices.Collect(batchesOf(next.Plan))
	w.input.Before = append(before, w.input.Before...)
	w.kept, w.planned = next, true
	return w
}

// proposeOnce plans the day: all of it where nothing is released and the lead has asked for nothing. Else what the lead asked
// and what stands is kept, and the rest as it is or all anew, whichever is better.
func (w workday) proposeOnce() (next DayPlan, changed bool, err error) {
	next = DayPlan{Allowed: w.kept.Allowed, Down: w.kept.Down}
	if !w.planned || len(w.kept.Standing()) == 0 && !w.wished(w.kept) {
		if next.Plan, err = planning.Propose(w.input); err != nil {
			return next, false, err
		}
		return w.orKept(next)
	}
	news := w.news()
	if next.Plan, err = planning.Replan(w.input, w.kept.Plan, news); err != nil {
		return next, false, err
	}
	anew, err := planning.Replan(w.input, w.withoutFree(), again(news))
	if err != nil {
		return next, false, err
	}
	if better(anew, next.Plan) {
		next.Plan = anew
	}
	return w.orKept(next)
}

// orKept gives the kept plan where the next one is the same.
func (w workday) orKept(next DayPlan) (plan DayPlan, changed bool, err error) {
	if err := noteEach(next.Plan, w.input.Bench); err != nil {
		return next, false, err
	}
	if w.planned && reflect.DeepEqual(next.Plan, w.kept.Plan) {
		return w.kept, false, nil
	}
	return next, true, nil
}

// better says whether fewer orders are late for want of strings with a plan than with another, or as many and more strings are
// wound for orders.
func better(a, b planning.Plan) bool {
	return cmp.Or(cmp.Compare(lateAndOpen(b), lateAndOpen(a)), cmp.Compare(orderedIn(a), orderedIn(b))) > 0
}

// lateAndOpen counts the late orders that a plan does not complete.
func lateAndOpen(p planning.Plan) int {
	n := 0
	for _, code := range p.Late {
		if slices.ContainsFunc(p.NotPlanned, func(left planning.NotPlanned) bool { return left.Order == code }) {
			n++
		}
	}
	return n
}

// orderedIn counts the strings that a plan winds for orders.
func orderedIn(p planning.Plan) int {
	n := 0
	for b := range batchesOf(p) {
		n += b.Ordered
	}
	return n
}

// heldAs gives the strings of a batch that went out of the day when they were held, and are held still.
func (w workday) heldAs(code batch.Code) (planning.Held, bool) {
	for _, d := range w.kept.Differences {
		h := planning.Held{Recipe: d.Recipe, Scale: d.Scale}
		if d.What == planning.WentOut && equalCodes(d.Batch, code) && slices.Contains(w.kept.Held, h) {
			return h, true
		}
	}
	return planning.Held{}, false
}
