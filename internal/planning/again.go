package planning

import (
	"cmp"
	"reflect"
	"slices"

	"windingroom/internal/batch"
)

// settlings bounds how often a day is planned on until that changes nothing. One is nearly always enough.
const settlings = 4

// Again plans a day on from its kept plan: as that is with what changed, or all anew but what stands, is pinned or takes longer
// than reckoned, whichever is better; as it is where they are equal. Planned again with no change, what it gives is given back.
//
// Input is as for Replan.
func Again(in Input, kept Plan, changes Changes) (Plan, error) {
	next, err := Replan(in, kept, changes)
	if err != nil {
		return Plan{}, err
	}
	if in.Before == nil {
		in.Before = batchesOf(kept)
	}
	anew, err := Anew(in, next)
	if err != nil {
		return Plan{}, err
	}
	if !better(anew, next) && reflect.DeepEqual(next, kept) {
		return kept, nil
	}
	for range settlings {
		if better(anew, next) {
			next = anew
		}
		in.Before = slices.Concat(batchesOf(next), in.Before)
		again, err := Replan(in, next, Changes{})
		if err != nil || reflect.DeepEqual(again, next) {
			return next, err
		}
		next = again // what is planned anew depends only on what stays, which is the same
	}
	return next, nil
}

// Anew plans all of a kept plan's day anew but the batches that stand, are pinned or take longer than reckoned.
func Anew(in Input, kept Plan) (Plan, error) {
	if in.Before == nil {
		in.Before = batchesOf(kept)
	}
	stays := func(b batch.Batch) bool {
		return b.Status != batch.Proposed || b.Delay != 0 || slices.Contains(kept.Pinned, b.Code)
	}
	rest := kept
	rest.Machines = slices.Clone(kept.Machines)
	for i := range rest.Machines {
		day := &rest.Machines[i]
		day.Batches = slices.DeleteFunc(slices.Clone(day.Batches), func(b batch.Batch) bool { return !stays(b) })
	}
	r, err := revise(in, rest)
	if err != nil {
		return Plan{}, err
	}
	r.trim()
	return r.best(r.draft).write(), nil
}

// better says whether fewer orders are late for want of strings with a plan than with another, or as many and more strings are
// wound for orders.
func better(a, b Plan) bool {
	return cmp.Or(cmp.Compare(lateAndOpen(b), lateAndOpen(a)), cmp.Compare(orderedIn(a), orderedIn(b))) > 0
}

// lateAndOpen counts the late orders that a plan does not complete.
func lateAndOpen(p Plan) int {
	n := 0
	for _, code := range p.Late {
		if slices.ContainsFunc(p.NotPlanned, func(left NotPlanned) bool { return left.Order == code }) {
			n++
		}
	}
	return n
}

// orderedIn counts the strings that a plan winds for orders.
func orderedIn(p Plan) int {
	n := 0
	for _, b := range batchesOf(p) {
		n += b.Ordered
	}
	return n
}
