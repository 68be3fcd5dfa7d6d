package setwork

import (
	"math"
	"slices"
)

// grade judges a choice; the first number decides, then the second, and so on, less being better. Grades of strings add up to
// that of their set.
type grade [5]float64

func (g grade) plus(h grade) grade {
	for i := range g {
		g[i] += h[i]
	}
	return g
}

func (g grade) compare(h grade) int { return slices.Compare(g[:], h[:]) }

// judge grades an alternative at its position, in the light of whether the shelf serves it beside the strings before it. No
// alternative (nil) is judged as well.
type judge func(position int, a *Alternative, served bool) grade

// choice is one string for each position.
type choice struct {
	picks  []*Alternative // nil where there is none
	served []bool
	grade  grade
	exact  bool // this one is the best

	// Where it is not exact: by position the least squared difference of any string that may be chosen, below zero where there is none;
	// and whether a better choice may fill more positions than this one.
	least []float64
	short bool
}

// mostNodes bounds a search. A shelf that serves the nearest strings, as it nearly always does, takes one node a string.
const mostNodes = 20_000

// search chooses by branch and bound. Strings are served from the shelf in the order of their positions.
type search struct {
	room     *Room
	options  [][]*Alternative // by position, the best first
	judge    judge
	heldOnly bool // a string that the shelf does not serve beside the others cannot be chosen

	floor []grade // best that the positions from here on can add
	best  choice
	loads loads
	picks []*Alternative
	serve []bool
	nodes int
}

// choose finds the best string for each position. It is exact unless the search grows too large, and says so.
func (r *Room) choose(options [][]*Alternative, heldOnly bool, j judge) choice {
	n := len(options)
	s := search{room: r, judge: j, heldOnly: heldOnly, floor: make([]grade, n+1), loads: loads{}, picks: make([]*Alternative, n), serve: make([]bool, n)}
	for i := n - 1; i >= 0; i-- {
		sorted := append(slices.Clone(options[i]), nil)
		slices.SortStableFunc(sorted, func(a, b *Alternative) int { return s.hope(i, a).compare(s.hope(i, b)) })
		s.options = append(s.options, sorted)
		s.floor[i] = s.floor[i+1].plus(s.hope(i, sorted[0]))
	}
	slices.Reverse(s.options)
	s.best.grade[0] = math.Inf(1)
	s.from(0, grade{})
	if s.best.exact = s.nodes < r.nodes; !s.best.exact {
		s.best.limit(options)
	}
	return s.best
}

// limit notes what no other choice can better.
func (c *choice) limit(options [][]*Alternative) {
	c.least = make([]float64, len(options))
	for i, list := range options {
		c.least[i] = -1
		for j, a := range list {
			if off := square(a); j == 0 || off < c.least[i] {
				c.least[i] = off
			}
		}
		c.short = c.short || len(list) > 0 && c.picks[i] == nil
	}
}

// offAtLeast gives the root mean square difference that every choice has which is better than this one, or equally good: the nearest
// string at each position, whatever else speaks against it and whether or not the shelf serves it beside the others. squares are
// the squared differences of the strings of this choice, kept ones included, in the order of the positions; below zero where there is no string.
func (c choice) offAtLeast(squares []float64) float64 {
	if c.short { // a position that has strings was left without one, and which of them another choice fills is not known
		return 0
	}
	var sum, n float64
	for i, own := range squares {
		switch {
		case own < 0:
			continue
		case c.least[i] >= 0:
			own = c.least[i]
		}
		sum, n = sum+own, n+1
	}
	return math.Sqrt(sum / max(n, 1))
}

// hope grades an alternative as if it were alone.
func (s *search) hope(position int, a *Alternative) grade {
	return s.judge(position, a, a != nil && a.Held)
}

func (s *search) from(position int, so grade) {
	if position == len(s.options) {
		if so.compare(s.best.grade) < 0 {
			s.best.picks, s.best.served, s.best.grade = slices.Clone(s.picks), slices.Clone(s.serve), so
		}
		return
	}
	for _, a := range s.options[position] {
		if so.plus(s.hope(position, a)).plus(s.floor[position+1]).compare(s.best.grade) >= 0 {
			return // the others are no better
		}
		if s.nodes++; s.nodes >= s.room.nodes && s.best.picks != nil {
			return
		}
		served := a != nil && a.Held && s.room.shelf.take(s.loads, a.uses)
		if a == nil || served || !s.heldOnly {
			s.picks[position], s.serve[position] = a, served
			s.from(position+1, so.plus(s.judge(position, a, served)))
		}
		if served {
			s.loads.drop(a.uses)
		}
	}
}
