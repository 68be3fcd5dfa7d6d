package costing

import (
	"fmt"
	"slices"
	"strings"

	"windingroom/internal/material"
)

// Method is a choice of the books: from a period on, the wires of an alloy family are valued by a formula. IAS 2, paragraph 25,
// wants the same formula for inventories of similar nature and use, hence one for each family; a change is dated and shows
// as a revaluation of its own.
type Method struct {
	Family  string // alloy family; empty for every family without a line of its own
	Formula Formula
	From    Period
}

// Methods is every choice the books ever made, in any order.
type Methods []Method

// Default is the formula of a family that has no method: the ledger's own costs, lot by lot.
const Default = Specific

// Of gives the formula of a family in a period: that of its latest method not after it, else that of every family, else Default.
func (m Methods) Of(family string, p Period) Formula {
	for _, name := range []string{family, ""} {
		var best *Method
		for i := range m {
			if strings.EqualFold(m[i].Family, name) && m[i].From <= p && (best == nil || m[i].From >= best.From) {
				best = &m[i]
			}
		}
		if best != nil {
			return best.Formula
		}
	}
	return Default
}

// Check refuses an unknown formula and two methods of one family from one period.
func (m Methods) Check() error {
	type key struct {
		family string
		from   Period
	}
	seen := map[key]bool{}
	for _, one := range m {
		k := key{strings.ToLower(one.Family), one.From}
		switch {
		case !slices.Contains(Formulas(), one.Formula):
			return fmt.Errorf("method of %q: %q is not one of specific, fifo, moving average", one.Family, one.Formula)
		case seen[k]:
			return fmt.Errorf("method of %q: there are two from %s", one.Family, one.From)
		}
		seen[k] = true
	}
	return nil
}

// Choice says by which formula a wire is valued in a period.
type Choice func(wire material.WireCode, p Period) Formula

// Choice gives the choice that follows from the methods and from the family of each wire.
func (m Methods) Choice(family func(material.WireCode) string) Choice {
	return func(wire material.WireCode, p Period) Formula { return m.Of(family(wire), p) }
}
