package stock

import (
	"slices"

	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Share is a part of a weighing's difference and who bears it.
type Share struct {
	Source string       // the batch that bears it; empty where none does
	Mass   measure.Mass // signed like a movement: below zero for a loss
}

// shares splits the difference, to the milligram, over the batches that drew since the last weighing in proportion to what
// they drew. Noise is nobody's, and so is what went or came where none drew. Batches can give back no more than they drew: what
// appears beyond that is nobody's either.
func (w Weighing) shares(v Verdict) []Share {
	if v.Difference == 0 {
		return nil
	}
	drawn := w.drawn()
	if v.Noise || drawn == 0 {
		return []Share{{Mass: v.Difference}}
	}
	theirs := min(v.Difference, drawn)
	shares := w.charge(theirs)
	if rest := v.Difference - theirs; rest > 0 {
		shares = append(shares, Share{Mass: rest})
	}
	return shares
}

// charge splits a difference over the batches in the order they first drew, leaving out those that bear nothing of it.
func (w Weighing) charge(difference measure.Mass) []Share {
	var sources []string
	var weights []int64
	place := map[string]int{}
	for _, d := range w.Drawn {
		i, known := place[d.Source]
		if !known {
			i = len(sources)
			place[d.Source] = i
			sources, weights = append(sources, d.Source), append(weights, 0)
		}
		weights[i] += int64(d.Mass)
	}
	var shares []Share
	for i, mass := range money.SplitLargestRemainder(difference, weights) {
		if mass != 0 {
			shares = append(shares, Share{Source: sources[i], Mass: mass})
		}
	}
	return shares
}

// Rest gives shares less what is borne of them already, source by source; those of whom nothing is left are left out.
func Rest(shares, borne []Share) []Share {
	var rest []Share
	add := func(source string, mass measure.Mass) {
		i := slices.IndexFunc(rest, func(s Share) bool { return s.Source == source })
		if i < 0 {
			i, rest = len(rest), append(rest, Share{Source: source})
		}
		rest[i].Mass += mass
	}
	for _, s := range shares {
		add(s.Source, s.Mass)
	}
	for _, s := range borne {
		add(s.Source, -s.Mass)
	}
	return slices.DeleteFunc(rest, func(s Share) bool { return s.Mass == 0 })
}
