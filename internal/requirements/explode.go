package requirements

import (
	"cmp"
	"errors"
	"fmt"
	"math/big"
	"slices"
	"strconv"

	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// WireNeed is the wire that a list of demands takes, expected scrap included.
type WireNeed struct {
	Wire material.WireCode
	Mass measure.Mass
}

// Explode gives the wire that demands take: strings × (1 / yield) × mass each, summed exactly per wire and rounded once to
// the milligram, half up; by wire code. This is the expected requirement; a batch is planned with its own overage, and only
// that is drawn.
func (b *Bench) Explode(demands []Demand) ([]WireNeed, error) {
	sums := map[material.WireCode]*big.Rat{}
	if err := b.add(sums, demands); err != nil {
		return nil, err
	}
	needs := make([]WireNeed, 0, len(sums))
	for wire, sum := range sums {
		mass, err := toMass(sum)
		if err != nil {
			return nil, fmt.Errorf("wire %s: %w", wire, err)
		}
		needs = append(needs, WireNeed{wire, mass})
	}
	slices.SortFunc(needs, func(a, b WireNeed) int { return cmp.Compare(a.Wire, b.Wire) })
	return needs, nil
}

// add puts the exact wire of demands, in ng, onto sums.
func (b *Bench) add(sums map[material.WireCode]*big.Rat, demands []Demand) error {
	type pair struct {
		recipe catalog.RecipeCode
		wire   material.WireCode
	}
	good := map[pair]*big.Int{} // ng of good strings: integers first, one division per recipe
	var order []pair
	for _, d := range demands {
		if d.Strings < 0 {
			return fmt.Errorf("order %s line %d position %d: strings %d: zero or more is wanted", d.Order, d.Line, d.Position, d.Strings)
		}
		uses, err := b.Uses(d.Recipe, d.Scale)
		if err != nil {
			return fmt.Errorf("order %s line %d position %d: %w", d.Order, d.Line, d.Position, err)
		}
		for _, u := range uses {
			at := pair{d.Recipe, u.Wire}
			if good[at] == nil {
				good[at] = new(big.Int)
				order = append(order, at)
			}
			mass := big.NewInt(int64(u.Each))
			good[at].Add(good[at], mass.Mul(mass, big.NewInt(int64(d.Strings))))
		}
	}
	for _, at := range order {
		yield, err := exactYield(b.recipes[at.recipe].recipe)
		if err != nil {
			return err
		}
		if sums[at.wire] == nil {
			sums[at.wire] = new(big.Rat)
		}
		mass := new(big.Rat).SetInt(good[at])
		sums[at.wire].Add(sums[at.wire], mass.Quo(mass, yield))
	}
	return nil
}

// exactYield gives the yield as the decimal it was written as: 0.95 is 19/20.
func exactYield(r catalog.Recipe) (*big.Rat, error) {
	if !(r.Yield > 0 && r.Yield <= 1) {
		return nil, fmt.Errorf("recipe %s: yield %v: a share above 0 and at most 1 is wanted", r.Code, r.Yield)
	}
	y, _ := new(big.Rat).SetString(strconv.FormatFloat(r.Yield, 'g', -1, 64))
	return y, nil
}

// toMass rounds ng to whole mg, half up.
func toMass(ng *big.Rat) (measure.Mass, error) {
	r := new(big.Rat).Mul(ng, big.NewRat(1, 1_000_000))
	r.Add(r, big.NewRat(1, 2))
	n := new(big.Int).Div(r.Num(), r.Denom())
	if !n.IsInt64() {
		return 0, errors.New("a requirement beyond any mass")
	}
	return measure.Mass(n.Int64()), nil
}
