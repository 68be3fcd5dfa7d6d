package workshop

import (
	"reflect"
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/planning"
)

// propose plans the day: all of it where nothing is released and the lead has asked for nothing, else on from its kept plan. The
// answer is what planning the day again gives. changed is false where the kept plan stands as it is.
func (w workday) propose() (next DayPlan, changed bool, err error) {
	next = DayPlan{Allowed: w.kept.Allowed, Down: w.kept.Down}
	if !w.planned || len(w.kept.Standing()) == 0 && !wished(w.kept) {
		next.Plan, err = planning.Propose(w.input)
	} else {
		next.Plan, err = planning.Again(w.input, w.kept.Plan, w.news())
	}
	if err == nil {
		err = noteEach(next.Plan, w.input.Bench)
	}
	if err != nil {
		return next, false, err
	}
	if w.planned && reflect.DeepEqual(next.Plan, w.kept.Plan) {
		return w.kept, false, nil
	}
	return next, true, nil
}

// with gives the day with another plan in place of the kept one.
func (w workday) with(next DayPlan) workday {
	w.input.Before = slices.AppendSeq(slices.Collect(batchesOf(next.Plan)), slices.Values(w.input.Before))
	w.kept, w.planned = next, true
	return w
}

// wentOut gives the strings of a batch that the last change took out of the day.
func (w workday) wentOut(code batch.Code) (planning.Held, bool) {
	for _, d := range w.kept.Differences {
		if d.What == planning.WentOut && equalCodes(d.Batch, code) {
			return planning.Held{Recipe: d.Recipe, Scale: d.Scale}, true
		}
	}
	return planning.Held{}, false
}

// heldAs gives the strings of a batch that went out of the day when they were held, and are held still.
func (w workday) heldAs(code batch.Code) (planning.Held, bool) {
	h, out := w.wentOut(code)
	return h, out && slices.Contains(w.kept.Held, h)
}

// delayedAs says whether a batch went out of the day with a delay, and its strings have that still.
func (w workday) delayedAs(x planning.Delay) bool {
	h, out := w.wentOut(x.Batch)
	return out && slices.Contains(w.kept.Delayed, planning.Delayed{Recipe: h.Recipe, Scale: h.Scale, By: x.By})
}
