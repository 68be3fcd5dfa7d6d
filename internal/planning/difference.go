package planning

import (
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
)

// What became of a batch between two plans.
const (
	CameIn  = "came in"
	WentOut = "went out"
	Moved   = "moved"
	Resized = "resized" // other strings, at its place
	Redrawn = "redrawn" // other spools only
)

// Spot is a place in a plan.
type Spot struct {
	Machine catalog.MachineCode
	Place   int // from 1
}

// Difference is what became of one batch. A batch that only made room for another one has not moved.
type Difference struct {
	What       string
	Batch      batch.Code // in the new plan; in the old one if it went out
	Recipe     catalog.RecipeCode
	Scale      measure.Size
	From, To   Spot // zero where it was not or is not any more
	Was, Is    int  // ordered strings
	OtherDraws bool
}

// Differences lists what is different in a new plan, by its machines and sequence, then what went out, by the old one's.
func Differences(old, now Plan) []Difference {
	before, after := batchesOf(old), batchesOf(now)
	match := matchBatches(before, after)
	var list []Difference
	stays := stayed(before, after, match)
	for i, b := range after {
		d := Difference{What: CameIn, Batch: b.Code, Recipe: b.Recipe, Scale: b.Scale, To: spotOf(b), Is: b.Ordered}
		if match[i] >= 0 {
			was := before[match[i]]
			d.From, d.Was, d.OtherDraws = spotOf(was), was.Ordered, !slices.Equal(was.Draws, b.Draws)
			switch {
			case !stays[i]:
				d.What = Moved
			case d.Was != d.Is:
				d.What = Resized
			case d.OtherDraws:
				d.What = Redrawn
			default:
				continue
			}
		}
		list = append(list, d)
	}
	for j, b := range before {
		if !slices.Contains(match, j) {
			list = append(list, Difference{What: WentOut, Batch: b.Code, Recipe: b.Recipe, Scale: b.Scale, From: spotOf(b), Was: b.Ordered})
		}
	}
	return list
}

func batchesOf(p Plan) []batch.Batch {
	var all []batch.Batch
	for _, day := range p.Machines {
		all = append(all, day.Batches...)
	}
	return all
}

func spotOf(b batch.Batch) Spot { return Spot{b.Machine, b.Sequence} }

// matchBatches gives for each new batch the old one that it is: of the same strings, by its name, else by its machine, else any.
func matchBatches(before, after []batch.Batch) []int {
	match := make([]int, len(after))
	for i := range match {
		match[i] = none
	}
	taken := make([]bool, len(before))
	for _, same := range []func(a, b *batch.Batch) bool{
		func(a, b *batch.Batch) bool { return a.Code == b.Code },
		func(a, b *batch.Batch) bool { return a.Machine == b.Machine },
		func(_, _ *batch.Batch) bool { return true },
	} {
		for i := range after {
			for j := range before {
				a, b := &before[j], &after[i]
				if match[i] == none && !taken[j] && a.Recipe == b.Recipe && a.Scale == b.Scale && same(a, b) {
					match[i], taken[j] = j, true
				}
			}
		}
	}
	return match
}

// stayed says which batches are on the same machine in the same order as before: as many as possible.
func stayed(before, after []batch.Batch, match []int) []bool {
	stays := make([]bool, len(after))
	longest, from := make([]int, len(after)), make([]int, len(after))
	same := func(i int) bool { return match[i] >= 0 && before[match[i]].Machine == after[i].Machine }
	for begin := 0; begin < len(after); {
		end := begin
		best := none
		for ; end < len(after) && after[end].Machine == after[begin].Machine; end++ {
			if !same(end) {
				continue
			}
			longest[end], from[end] = 1, none
			for k := begin; k < end; k++ {
				if same(k) && match[k] < match[end] && longest[k]+1 > longest[end] {
					longest[end], from[end] = longest[k]+1, k
				}
			}
			if best == none || longest[end] > longest[best] {
				best = end
			}
		}
		for ; best != none; best = from[best] {
			stays[best] = true
		}
		begin = end
	}
	return stays
}
