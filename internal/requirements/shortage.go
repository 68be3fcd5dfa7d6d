package requirements

import (
	"math/big"
	"slices"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// Shortage is a wire of which the open orders need more than is drawable.
type Shortage struct {
	Wire     material.WireCode
	Needed   measure.Mass
	Drawable measure.Mass
	Short    measure.Mass // needed less drawable
	Orders   []order.Code // orders the wire does not reach to, in due order
}

// HoldsUp says whether the shortage keeps an order from being completed.
func (s Shortage) HoldsUp(code order.Code) bool { return slices.Contains(s.Orders, code) }

// Shortages lists the wires that are short, by code. Each wire is given out in due order; an order it does not reach to
// whole is held up and takes nothing, so that a smaller one after it may still be completed.
func (b *Bench) Shortages(demands []Demand, spools []stock.Balance) ([]Shortage, error) {
	left := map[material.WireCode]measure.Mass{}
	for _, s := range spools {
		left[s.Wire] += s.Drawable()
	}
	needs, err := b.Explode(demands)
	if err != nil {
		return nil, err
	}
	held, err := b.heldUp(demands, left)
	if err != nil {
		return nil, err
	}
	var short []Shortage
	for _, n := range needs {
		if have := left[n.Wire]; n.Mass > have {
			short = append(short, Shortage{n.Wire, n.Mass, have, n.Mass - have, held[n.Wire]})
		}
	}
	return short, nil
}

// heldUp gives out each wire order by order, exactly, and names the orders it does not reach to.
func (b *Bench) heldUp(demands []Demand, drawable map[material.WireCode]measure.Mass) (map[material.WireCode][]order.Code, error) {
	sorted := slices.Clone(demands)
	slices.SortFunc(sorted, Compare)
	given := map[material.WireCode]*big.Rat{}
	held := map[material.WireCode][]order.Code{}
	for len(sorted) > 0 {
		n := slices.IndexFunc(sorted, func(d Demand) bool { return d.Order != sorted[0].Order })
		if n < 0 {
			n = len(sorted)
		}
		own := map[material.WireCode]*big.Rat{}
		if err := b.add(own, sorted[:n]); err != nil {
			return nil, err
		}
		for wire, mass := range own { // wires do not meet, so their order does not matter
			if given[wire] == nil {
				given[wire] = new(big.Rat)
			}
			sum := new(big.Rat).Add(given[wire], mass)
			total, err := toMass(sum)
			if err != nil {
				return nil, err
			}
			if total > drawable[wire] {
				held[wire] = append(held[wire], sorted[0].Order)
				continue
			}
			given[wire] = sum
		}
		sorted = sorted[n:]
	}
	return held, nil
}
