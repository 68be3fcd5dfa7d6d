package replenishment

import (
	"cmp"
	"math"
	"slices"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// A supplier's wires are ordered together: when one must be ordered, those of the same supplier that soon will be go with it (can-order policy:
// Balintfy, Management Science 10, 1964, from memory), and the supplier's minimum is reached with the wires that last shortest.

const (
	mostYears  = 1.0           // no more than a year's use at once (judgement)
	leastYears = 1 / 52.       // nor less than a week's
	topUpYears = 2 * mostYears // a minimum is not worth reaching with wire for longer
)

// unknownPack is taken where the supplier's pack is not known (judgement).
const unknownPack = measure.Kilogram

func (c *check) offer() Offer {
	pack := c.wire.Pack
	if pack <= 0 {
		pack = unknownPack
	}
	return Offer{Pack: pack, PricePerKg: c.wire.PricePerKg, Breaks: c.wire.Breaks}
}

// yearly is the expected use of a year.
func (c *check) yearly() measure.Mass { return whole(c.outlook.demand.Weekly * weeksInYear) }

// buyer works on the wires of one supplier.
type buyer struct {
	checks []*check
	years  []float64 // by check, from one order of it to the next
	packs  []int
	why    []LineReason
}

// buy gives the purchase, or false where nothing must be ordered. It also tells the wires' nights.
func buy(checks []*check) (Purchase, bool) {
	if !slices.ContainsFunc(checks, func(c *check) bool { return c.short > 0 }) {
		return Purchase{}, false
	}
	b := &buyer{checks: checks, packs: make([]int, len(checks)), why: make([]LineReason, len(checks))}
	b.plan()
	for i, c := range checks {
		switch {
		case c.short > 0:
			b.order(i, MustOrder)
		case b.canOrder(i):
			b.order(i, CanOrder)
		}
	}
	below := !b.topUp()
	return b.purchase(below), true
}

// plan finds the years between orders by Silver's multiples.
func (b *buyer) plan() {
	items := make([]Joint, len(b.checks))
	for i, c := range b.checks {
		items[i] = Joint{Value: c.yearly().Kilograms() * float64(c.wire.PricePerKg), Line: float64(c.policy.LineCost)}
	}
	first := b.checks[0]
	multiples, years := Multiples(float64(first.supplier.OrderCost), items, first.policy.Holding)
	for _, m := range multiples {
		b.years = append(b.years, math.Min(math.Max(float64(m)*years, leastYears), mostYears))
	}
}

// cycle is what to buy beyond the order point: the use until the next order, or what is booked for then if that is more.
func (b *buyer) cycle(i int) float64 {
	c := b.checks[i]
	from := c.today + c.margin() + calendar.Date(c.night.Protection)
	booked := c.outlook.bookedUntil(from+calendar.Date(int(b.years[i]*365.25))) - c.outlook.bookedUntil(from)
	return math.Max(c.outlook.demand.Weekly*weeksInYear*b.years[i], float64(booked))
}

// canOrder says whether a wire would have to be ordered before half of its time to the next order is over.
func (b *buyer) canOrder(i int) bool {
	c := b.checks[i]
	return c.outlook.demand.Weekly > 0 && !c.night.Fading && -c.short < b.cycle(i)/2
}

func (b *buyer) order(i int, why LineReason) {
	c, o := b.checks[i], b.checks[i].offer()
	wanted := c.short + b.cycle(i)
	b.packs[i], b.why[i] = o.Packs(wanted), why
	if len(o.Breaks) > 0 {
		b.packs[i] = o.Best(wanted, c.yearly(), b.fixed(), c.policy.Holding)
	}
}

// fixed is a line's own cost and its even share of the order's.
func (b *buyer) fixed() money.Minor {
	c := b.checks[0]
	return c.policy.LineCost + c.supplier.OrderCost/money.Minor(len(b.checks))
}

// topUp adds packs of the wires that last shortest until the supplier's minimum is reached; false where none is worth adding.
func (b *buyer) topUp() bool {
	minimum := b.checks[0].supplier.OrderMinimum
	for total := b.total(); total < minimum; total = b.total() {
		next, shortest := -1, topUpYears
		for i := range b.checks {
			if years, ok := b.lasts(i); ok && years < shortest {
				next, shortest = i, years
			}
		}
		if next < 0 {
			return false
		}
		b.packs[next]++
		if b.why[next] == "" {
			b.why[next] = TopUp
		}
	}
	return true
}

// lasts gives the years that a wire would last with what is in the purchase already; false for one that is not used, goes out of use or has no price.
func (b *buyer) lasts(i int) (years float64, ok bool) {
	c := b.checks[i]
	weekly := c.outlook.demand.Weekly
	if weekly <= 0 || c.night.Fading || c.wire.PricePerKg <= 0 {
		return 0, false
	}
	have := float64(c.night.Available) + float64(b.packs[i])*float64(c.offer().Pack)
	return have / weekly / weeksInYear, true
}

func (b *buyer) total() (sum money.Minor) {
	for i, packs := range b.packs {
		sum += b.checks[i].offer().Cost(packs)
	}
	return sum
}

func (b *buyer) purchase(below bool) Purchase {
	p := Purchase{Supplier: b.checks[0].supplier.Code, BelowMinimum: below, Total: b.total()}
	for i, c := range b.checks {
		if b.packs[i] == 0 {
			continue
		}
		o := c.offer()
		line := Line{c.night.Wire, b.packs[i], measure.Mass(b.packs[i]) * o.Pack, o.Cost(b.packs[i]), b.why[i]}
		c.night.Suggest = line.Mass
		p.Lines = append(p.Lines, line)
		if c.short > 0 && (p.OrderBy.IsZero() || c.night.OrderBy < p.OrderBy) {
			p.OrderBy = c.night.OrderBy
		}
	}
	slices.SortFunc(p.Lines, func(a, b Line) int { return cmp.Compare(a.Wire, b.Wire) })
	return p
}
