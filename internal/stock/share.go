package stock

import (
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Share is one movement that a weighing asks for: a part of its difference and who bears it.
type Share struct {
	Kind   Kind         // WeighBack, or Scrap for a loss that no batch can have made
	Source string       // the batch that bears it; empty where none does
	Mass   measure.Mass // signed like a movement: below zero for a loss
}

// shares splits the difference, to the milligram, over the batches that drew since the last weighing in proportion to what
// they drew. Noise is nobody's. Batches can give back no more than they drew: what appears beyond that is nobody's either. A
// loss is scrap where none drew.
func (w Weighing) shares(v Verdict) []Share {
	if v.Difference == 0 {
		return nil
	}
	drawn := w.drawn()
	switch {
	case v.Noise, drawn == 0 && v.Difference > 0:
		return []Share{{Kind: WeighBack, Mass: v.Difference}}
	case drawn == 0:
		return []Share{{Kind: Scrap, Mass: v.Difference}}
	}
	theirs := min(v.Difference, drawn)
	shares := w.charge(theirs)
	if rest := v.Difference - theirs; rest > 0 {
		shares = append(shares, Share{Kind: WeighBack, Mass: rest})
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
			shares = append(shares, Share{Kind: WeighBack, Source: sources[i], Mass: mass})
		}
	}
	return shares
}
