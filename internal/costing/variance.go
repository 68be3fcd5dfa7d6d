package costing

import (
	"windingroom/internal/material"
	"windingroom/internal/money"
)

// VarianceKind says what made the actual cost differ.
type VarianceKind string

// The kinds of variance.
const (
	PriceVariance      VarianceKind = "price"       // wire cost another price
	UsageVariance      VarianceKind = "usage"       // a string took another mass
	YieldVariance      VarianceKind = "yield"       // another share of the strings was good
	MixVariance        VarianceKind = "mix"         // another wire than the standard's was taken
	RateVariance       VarianceKind = "labour rate" // an hour cost another rate
	EfficiencyVariance VarianceKind = "efficiency"  // a string took another time
)

// VarianceKinds lists the kinds in the order in which books show them.
func VarianceKinds() []VarianceKind {
	return []VarianceKind{PriceVariance, UsageVariance, YieldVariance, MixVariance, RateVariance, EfficiencyVariance}
}

// Variance is a part of actual − standard cost, unfavourable above zero, with what it can be grouped by. A field that does
// not apply is empty.
type Variance struct {
	Kind    VarianceKind
	Amount  money.Minor
	Batch   string
	Recipe  string
	Machine string
	Person  string
	Wire    material.WireCode
	Lot     string
}

// Compared is a batch beside its standard: Actual − Standard is the sum of Variances, to the minor unit.
type Compared struct {
	Actual    Cost
	Standard  Cost // of the good strings with the scrap that the yield lets expect
	Variances []Variance
}

// Compare puts a batch beside its standard. Per wire, with actual quantity AQ and price AP, standard price SP, and SQ the mass that
// the strings should have taken (Warren, Reeve and Duchac, Accounting, chapter on standard costs, read in a copy):
//
//	price = AQ·AP − AQ·SP    usage = AQ·SP − SQ(wound)·SP    yield = SQ(wound)·SP − SQ(good)·SP
//
// SQ(good) allows the scrap that the yield lets expect, as SplitScrap has it. Labour rate, efficiency and its part of yield
// are the same with hours. Each product is rounded once and stands in two neighbouring terms, so that their sum is exact.
func Compare(b Batch, s Standard) Compared {
	c := comparison{batch: b, standard: s}
	if b.Good > 0 {
		c.allowed = b.Good + expectedScrap(b.Good, b.Yield)
	}
	c.compareWire()
	c.compareLabour()
	return c.out
}

type comparison struct {
	batch    Batch
	standard Standard
	allowed  int // strings that the good ones should have taken
	out      Compared
}

// add notes a variance unless it is nothing.
func (c *comparison) add(v Variance) {
	if v.Amount != 0 {
		v.Batch, v.Recipe, v.Machine = c.batch.Code, c.batch.Recipe, c.batch.Machine
		c.out.Variances = append(c.out.Variances, v)
	}
}

func (c *comparison) compareWire() {
	wound := map[material.WireCode]money.Minor{} // SQ(wound)·SP
	used := map[material.WireCode]bool{}
	for _, u := range c.batch.Uses {
		c.out.Actual.Wire += u.Cost
		w, ok := c.standard.wire(u.Wire)
		if !ok {
			c.add(Variance{Kind: MixVariance, Amount: u.Cost, Wire: u.Wire, Lot: u.Lot})
			continue
		}
		atStandard, should := w.price(u.Mass), w.price(w.Each.Times(int64(u.Strings)))
		c.add(Variance{Kind: PriceVariance, Amount: u.Cost - atStandard, Wire: u.Wire, Lot: u.Lot})
		c.add(Variance{Kind: UsageVariance, Amount: atStandard - should, Wire: u.Wire, Lot: u.Lot})
		wound[u.Wire] += should
		used[u.Wire] = true
	}
	for _, w := range c.standard.Wires {
		should := w.price(w.Each.Times(int64(c.allowed)))
		c.out.Standard.Wire += should
		kind := YieldVariance
		if !used[w.Wire] {
			kind = MixVariance
		}
		c.add(Variance{Kind: kind, Amount: wound[w.Wire] - should, Wire: w.Wire})
	}
}

func (c *comparison) compareLabour() {
	var wound money.Minor
	for i, w := range c.batch.Works {
		atStandard, should := c.standard.labour(w.Time), c.standard.winding(w.Strings, i == 0)
		c.out.Actual.Labour += w.Cost
		c.add(Variance{Kind: RateVariance, Amount: w.Cost - atStandard, Person: w.Person})
		c.add(Variance{Kind: EfficiencyVariance, Amount: atStandard - should, Person: w.Person})
		wound += should
	}
	c.out.Standard.Labour = c.standard.winding(c.allowed, c.allowed > 0)
	c.add(Variance{Kind: YieldVariance, Amount: wound - c.out.Standard.Labour})
}
