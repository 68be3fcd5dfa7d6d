package winding

import (
	"errors"
	"fmt"
	"math/bits"

	"windingroom/internal/measure"
)

// Recipe is a compiled string and where each of its wires stands in a list of wires.
type Recipe struct {
	Kernel Kernel
	Wires  [MaxWires]int // index of the core's wire, then of the wraps', innermost first
}

// Strings is a row of a requirement: so many strings of one recipe at one scale length.
type Strings struct {
	Scale    measure.Size
	Recipe   int32 // index into the recipes
	Quantity int32
}

// ErrRow says that a row of a requirement cannot be added up; the error that wraps it names the row.
var ErrRow = errors.New("row of the requirement")

// longestScale bounds a scale length, so that a mass stays finite and fits its integer.
const longestScale = 100_000 * measure.Millimetre

// demand is one wire of one recipe, ready for the loop.
type demand struct {
	line
	wire int32
}

// recipeDemand is a recipe as the loop reads it: its wires side by side, and how many.
type recipeDemand struct {
	wires [MaxWires]demand
	count int32
}

// Requirement adds up the wire that rows of strings take: for each of the wires (0 ≤ index < wires) the exact sum of
// quantity × MassEach over all rows, rounded once to the milligram, half up. It fails on a recipe that names no such
// wire, and on a row with an unknown recipe, a negative quantity or an impossible scale.
func Requirement(recipes []Recipe, wires int, rows []Strings) ([]measure.Mass, error) {
	demands, err := flatten(recipes, wires)
	if err != nil {
		return nil, err
	}
	sums := make([]nanograms, wires)
	for i := range rows {
		row := &rows[i]
		if uint(row.Recipe) >= uint(len(demands)) || row.Quantity < 0 || uint64(row.Scale) > uint64(longestScale) {
			return nil, fmt.Errorf("%w %d: recipe %d, quantity %d, scale %v", ErrRow, i, row.Recipe, row.Quantity, row.Scale)
		}
		r := &demands[row.Recipe]
		for j := range r.wires[:r.count] {
			d := &r.wires[j]
			_, each := d.at(row.Scale)
			sums[d.wire].add(uint64(row.Quantity), uint64(each))
		}
	}
	totals := make([]measure.Mass, wires)
	for i, s := range sums {
		totals[i], err = s.milligrams()
		if err != nil {
			return nil, fmt.Errorf("wire %d: %w", i, err)
		}
	}
	return totals, nil
}

func flatten(recipes []Recipe, wires int) ([]recipeDemand, error) {
	demands := make([]recipeDemand, len(recipes))
	for i, r := range recipes {
		n := r.Kernel.Wires()
		demands[i].count = int32(n)
		for j := range n {
			w := r.Wires[j]
			if w < 0 || w >= wires {
				return nil, fmt.Errorf("recipe %d: wire %d is not one of %d", i, w, wires)
			}
			demands[i].wires[j] = demand{line: r.Kernel.wire(j), wire: int32(w)}
		}
	}
	return demands, nil
}

// nanograms is an exact sum that cannot overflow: 128 bits.
type nanograms struct{ hi, lo uint64 }

func (n *nanograms) add(quantity, each uint64) {
	hi, lo := bits.Mul64(quantity, each)
	var carry uint64
	n.lo, carry = bits.Add64(n.lo, lo, 0)
	n.hi, _ = bits.Add64(n.hi, hi, carry)
}

// milligrams rounds half up; it fails beyond what a Mass holds.
func (n nanograms) milligrams() (measure.Mass, error) {
	const ngPerMg = 1_000_000
	lo, carry := bits.Add64(n.lo, ngPerMg/2, 0)
	hi := n.hi + carry
	if hi >= ngPerMg/2 { // the quotient would reach 2⁶³ mg
		return 0, errors.New("requirement is beyond any mass")
	}
	q, _ := bits.Div64(hi, lo, ngPerMg)
	return measure.Mass(q), nil
}
