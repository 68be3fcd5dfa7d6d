package batch

import (
	"errors"
	"fmt"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// ErrSpools says that the spools named for a result cannot be what its strings were wound from.
var ErrSpools = errors.New("the spools do not fit the batch")

// SpoolStrings is a number of strings wound with the wire of one spool.
type SpoolStrings struct {
	Spool   stock.SpoolCode
	Wire    material.WireCode
	Strings int
}

// Take says which spools n more strings took their wire from: each wire from the planned spools in their order, as far as the
// strings planned on them were not wound before, and beyond plan from the last. A wire for which the bench names spools was
// taken from those instead, for n strings in all. It refuses with ErrSpools.
func (b Batch) Take(n int, wound map[stock.SpoolCode]int, named []SpoolStrings) ([]SpoolStrings, error) {
	of := map[material.WireCode][]SpoolStrings{}
	seen := map[stock.SpoolCode]bool{}
	for _, s := range named {
		switch {
		case s.Strings < 1:
			return nil, fmt.Errorf("spool %s for %d strings: one or more is wanted: %w", s.Spool, s.Strings, ErrSpools)
		case seen[s.Spool]:
			return nil, fmt.Errorf("spool %s is named twice: %w", s.Spool, ErrSpools)
		case len(b.planned(s.Wire)) == 0:
			return nil, fmt.Errorf("spool %s holds %s, which batch %s does not take: %w", s.Spool, s.Wire, b.Code, ErrSpools)
		}
		seen[s.Spool] = true
		of[s.Wire] = append(of[s.Wire], s)
	}
	var all []SpoolStrings
	for _, wire := range b.Wires() {
		taken := of[wire]
		if taken == nil {
			taken = b.inOrder(wire, n, wound)
		} else if sum := total(taken); sum != n {
			return nil, fmt.Errorf("the spools of %s are named for %d strings of %d wound: %w", wire, sum, n, ErrSpools)
		}
		all = append(all, taken...)
	}
	return all, nil
}

// Wires lists the wires a batch draws, in the order they are loaded.
func (b Batch) Wires() []material.WireCode {
	var wires []material.WireCode
	seen := map[material.WireCode]bool{}
	for _, d := range b.Draws {
		if !seen[d.Wire] {
			seen[d.Wire] = true
			wires = append(wires, d.Wire)
		}
	}
	return wires
}

// planned gives the draws of one wire in the order the spools are used.
func (b Batch) planned(wire material.WireCode) []Draw {
	var own []Draw
	for _, d := range b.Draws {
		if d.Wire == wire {
			own = append(own, d)
		}
	}
	return own
}

func (b Batch) inOrder(wire material.WireCode, n int, wound map[stock.SpoolCode]int) []SpoolStrings {
	var taken []SpoolStrings
	draws := b.planned(wire)
	for i, d := range draws {
		k := min(n, max(d.Strings-wound[d.Spool], 0))
		if i == len(draws)-1 {
			k = n // beyond plan
		}
		if k > 0 {
			taken = append(taken, SpoolStrings{d.Spool, wire, k})
			n -= k
		}
	}
	return taken
}

func total(list []SpoolStrings) int {
	n := 0
	for _, s := range list {
		n += s.Strings
	}
	return n
}

// Mass gives the wire of n strings of a spool of which so many were wound before in the same batch. However a batch's
// strings are split into results, their masses add up to that of all of them.
func Mass(each measure.MassEach, before, n int) measure.Mass {
	return each.Times(int64(before+n)) - each.Times(int64(before))
}

// Claims gives, for each draw, the wire that the batch still needs of it when it winds toWind strings in all: the strings not
// yet wound, from the planned spools in their order. It is never more than was planned.
func (b Batch) Claims(toWind int, each map[material.WireCode]measure.MassEach, results []Result) []measure.Mass {
	wound, strings := Wound(results), 0
	for _, r := range results {
		if r.Stands() {
			strings += r.Strings()
		}
	}
	left := map[material.WireCode]int{} // strings to come, by wire
	for _, w := range b.Wires() {
		left[w] = max(toWind-strings, 0)
	}
	claims := make([]measure.Mass, len(b.Draws))
	for i, d := range b.Draws {
		k := min(left[d.Wire], max(d.Strings-wound[d.Spool], 0))
		left[d.Wire] -= k
		claims[i] = min(Mass(each[d.Wire], wound[d.Spool], k), d.Mass)
	}
	return claims
}
