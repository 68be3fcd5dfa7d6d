package costing

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Quantity is wire and what it costs.
type Quantity struct {
	Mass measure.Mass
	Cost money.Minor
}

func (q Quantity) plus(r Quantity) Quantity { return Quantity{q.Mass + r.Mass, q.Cost + r.Cost} }

func (q Quantity) minus(r Quantity) Quantity { return Quantity{q.Mass - r.Mass, q.Cost - r.Cost} }

// RollLine is a wire's way through a month: opening + received − drawn − scrap + difference + revalued = closing, in milligrams
// and in minor units. Drawn and Scrap are above zero where wire was used.
type RollLine struct {
	Wire       material.WireCode
	Formula    Formula  // of the closing figure
	Opening    Quantity // the closing figure of the month before
	Received   Quantity
	Drawn      Quantity
	Scrap      Quantity
	Difference Quantity    // of weighings and counts, less Used
	Used       money.Minor // within Difference: late cost of wire that was gone, above zero where it was dearer
	Revalued   Quantity    // money only: a change of formula, and wire that was drawn before it came
	Closing    Quantity
}

// Off gives what the identity misses: nothing, unless a figure was changed.
func (l RollLine) Off() Quantity {
	sum := l.Opening.plus(l.Received).minus(l.Drawn).minus(l.Scrap).plus(l.Difference).plus(l.Revalued)
	return sum.minus(l.Closing)
}

func (l RollLine) empty() bool {
	l.Wire, l.Formula = "", ""
	return l == RollLine{}
}

// plus adds a line column by column; openings and closings add up too, as in a total over wires.
func (l RollLine) plus(m RollLine) RollLine {
	l.Opening, l.Closing = l.Opening.plus(m.Opening), l.Closing.plus(m.Closing)
	l.flow(m)
	return l
}

func (l *RollLine) flow(m RollLine) {
	l.Received, l.Drawn, l.Scrap = l.Received.plus(m.Received), l.Drawn.plus(m.Drawn), l.Scrap.plus(m.Scrap)
	l.Difference, l.Revalued, l.Used = l.Difference.plus(m.Difference), l.Revalued.plus(m.Revalued), l.Used+m.Used
}

// Roll is the roll-forward of one month, or of months that follow each other.
type Roll struct {
	From, To Period
	Lines    []RollLine // by wire; those without a figure are left out
}

// Name gives the month, or the first and the last: "2026-03", "2026-01 to 2026-12".
func (r Roll) Name() string {
	if r.From == r.To {
		return r.From.String()
	}
	return r.From.String() + " to " + r.To.String()
}

// Total sums the lines.
func (r Roll) Total() (total RollLine) {
	for _, l := range r.Lines {
		total = total.plus(l)
	}
	return total
}

// Chain makes one roll-forward of several that follow each other, such as a year of its months. It refuses a gap, and a
// closing figure with which the next one does not open.
func Chain(rolls ...Roll) (Roll, error) {
	if len(rolls) == 0 {
		return Roll{}, nil
	}
	out := Roll{From: rolls[0].From, To: rolls[0].To}
	lines := byWire(rolls[0])
	for _, next := range rolls[1:] {
		if next.From != out.To+1 {
			return Roll{}, fmt.Errorf("%s does not follow %s", next.From, out.To)
		}
		if err := chain(lines, next); err != nil {
			return Roll{}, err
		}
		out.To = next.To
	}
	for _, wire := range slices.SortedFunc(maps.Keys(lines), cmp.Compare[material.WireCode]) {
		out.Lines = append(out.Lines, lines[wire])
	}
	return out, nil
}

func byWire(r Roll) map[material.WireCode]RollLine {
	lines := make(map[material.WireCode]RollLine, len(r.Lines))
	for _, l := range r.Lines {
		lines[l.Wire] = l
	}
	return lines
}

func chain(lines map[material.WireCode]RollLine, next Roll) error {
	coming := byWire(next)
	for wire, l := range lines {
		if opening := coming[wire].Opening; opening != l.Closing {
			return fmt.Errorf("wire %s opens %s with %v after it closed with %v", wire, next.From, opening, l.Closing)
		}
	}
	for wire, l := range coming {
		sum, known := lines[wire]
		if !known {
			sum = RollLine{Wire: wire, Opening: l.Opening}
		}
		sum.flow(l)
		sum.Closing, sum.Formula = l.Closing, l.Formula
		lines[wire] = sum
	}
	return nil
}
