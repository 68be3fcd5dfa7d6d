package setwork

import (
	"math"
	"slices"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// shelf is the wire that strings can still be made of, by the index of the wire.
type shelf struct {
	spools [][]measure.MassEach // free on each spool that may be drawn on, most first
	rates  []float64            // cost in minor units per milligram; NaN where unknown
	listed []bool               // the rate is the list price, since nothing is on the shelf
}

const perMilligram = 1_000_000 // nanograms

func newShelf(wires []stocked, spools []stock.Balance) shelf {
	n := len(wires)
	s := shelf{spools: make([][]measure.MassEach, n), rates: make([]float64, n), listed: make([]bool, n)}
	at := make(map[material.WireCode]int, n)
	for i, w := range wires {
		at[w.Code] = i
	}
	value, mass := make([]float64, n), make([]float64, n)
	for _, b := range spools {
		i, ok := at[b.Wire]
		free := b.Drawable()
		if !ok || free <= 0 {
			continue
		}
		s.spools[i] = append(s.spools[i], measure.MassEach(min(free, math.MaxInt64/perMilligram)*perMilligram))
		value[i], mass[i] = value[i]+float64(b.Value), mass[i]+float64(b.Mass)
	}
	for i, w := range wires {
		slices.SortFunc(s.spools[i], func(a, b measure.MassEach) int { return int(min(max(b-a, -1), 1)) })
		switch {
		case mass[i] > 0:
			s.rates[i] = value[i] / mass[i]
		case w.PricePerKg > 0:
			s.rates[i], s.listed[i] = float64(w.PricePerKg)/float64(measure.Kilogram), true
		default:
			s.rates[i] = math.NaN()
		}
	}
	return s
}

// any says whether some of a wire is free.
func (s shelf) any(wire int) bool { return len(s.spools[wire]) > 0 }

// holds says whether each wire of one string is there, on one spool each.
func (s shelf) holds(uses []Use) bool {
	for _, u := range uses {
		if !s.any(u.wire) || s.spools[u.wire][0] < u.Each {
			return false
		}
	}
	return true
}

// cost gives the cost of the wire of one string in minor units, unrounded; NaN where the cost of a wire is unknown.
func (s shelf) cost(uses []Use) float64 {
	var sum float64
	for _, u := range uses {
		sum += float64(u.Each.Milligrams() * s.rates[u.wire])
	}
	return sum
}

// loads is what strings that are cut side by side take of each wire.
type loads map[int][]measure.MassEach

// take adds a string, if the shelf serves it beside those that are there; else it changes nothing.
func (s shelf) take(l loads, uses []Use) bool {
	for i, u := range uses {
		l[u.wire] = append(l[u.wire], u.Each)
		if !fits(l[u.wire], s.spools[u.wire]) {
			l.drop(uses[:i+1])
			return false
		}
	}
	return true
}

// drop takes the string that was added last away again.
func (l loads) drop(uses []Use) {
	for _, u := range uses {
		l[u.wire] = l[u.wire][:len(l[u.wire])-1]
	}
}

// fits says whether pieces can be cut from spools, each from one. Where they all fit on the fullest spool, as they nearly
// always do, it knows at once. Else it tries every way, up to mostTries; after that the pieces count as not fitting.
func fits(pieces, spools []measure.MassEach) bool {
	var sum, all measure.MassEach
	for _, p := range pieces {
		sum += p
	}
	for _, s := range spools {
		all += s
	}
	switch {
	case len(spools) > 0 && sum <= spools[0]:
		return true
	case sum > all:
		return false
	}
	sorted := slices.Sorted(slices.Values(pieces))
	slices.Reverse(sorted)
	tries := mostTries
	return pack(sorted, slices.Clone(spools), &tries)
}

const mostTries = 2000

func pack(pieces, spools []measure.MassEach, tries *int) bool {
	if len(pieces) == 0 {
		return true
	}
	if *tries--; *tries < 0 {
		return false
	}
	for i, left := range spools {
		if left < pieces[0] || slices.Contains(spools[:i], left) { // spools with equally much left are alike
			continue
		}
		spools[i] -= pieces[0]
		if pack(pieces[1:], spools, tries) {
			return true
		}
		spools[i] = left
	}
	return false
}
