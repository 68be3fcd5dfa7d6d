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

const leastYears = 1 / 52. // no less than a week's use at once (judgement)

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

// wanted is what the shop wants to hold of a wire: what is used in so many days, or all that is booked if that is more.
func (c *check) wanted() measure.Mass {
	return max(whole(c.outlook.demand.Weekly*float64(c.policy.CoverDays)/7), c.night.Booked)
}

// room is how much more of a wire may be laid in; below zero, what is there or to come beyond what the shop wants to hold.
func (c *check) room() measure.Mass {
	n := &c.night
	return c.wanted() - (n.OnHand - n.Allocated + n.OnOrder)
}

// roomFor is room in whole packs.
func (c *check) roomFor() int { return int(max(c.room(), 0) / c.offer().Pack) }

// buyer works on the wires of one supplier.
type buyer struct {
	checks   []*check
	currency money.Currency
	years    []float64 // by check, from one order of it to the next
	packs    []int
	extra    []int // of the packs, those that only reach the minimum
	raised   []bool
	why      []LineReason
}

// buy gives the purchase, or false where nothing must be ordered. It also tells the wires' nights.
func buy(checks []*check, currency money.Currency) (Purchase, bool) {
	if !slices.ContainsFunc(checks, func(c *check) bool { return c.short > 0 }) {
		return Purchase{}, false
	}
	n := len(checks)
	b := &buyer{checks: checks, currency: currency, packs: make([]int, n), extra: make([]int, n), raised: make([]bool, n), why: make([]LineReason, n)}
	b.plan()
	for i, c := range checks {
		switch {
		case c.short > 0:
			b.order(i, MustOrder)
		case b.canOrder(i):
			b.order(i, CanOrder)
		}
	}
	most := b.topUp()
	return b.purchase(most), true
}

// plan finds the years between orders by Silver's multiples.
func (b *buyer) plan() {
	items := make([]Joint, len(b.checks))
	for i, c := range b.checks {
		items[i] = Joint{Value: c.yearly().Kilograms() * float64(c.wire.PricePerKg+c.supplier.FreightPerKg), Line: float64(c.policy.LineCost)}
	}
	first := b.checks[0]
	multiples, years := Multiples(float64(first.supplier.OrderCost+first.supplier.Freight), items, first.policy.CarryingRate)
	most := float64(first.policy.CoverDays) / 365.25
	for _, m := range multiples {
		b.years = append(b.years, math.Min(math.Max(float64(m)*years, leastYears), most))
	}
}

// cycle is what to buy beyond the order point: the use until the next order, or what is booked for then if that is more.
func (b *buyer) cycle(i int) float64 {
	c := b.checks[i]
	from := c.today + c.margin() + calendar.Date(c.night.Protection)
	booked := c.outlook.bookedUntil(from+calendar.Date(int(b.years[i]*365.25))) - c.outlook.bookedUntil(from)
	return math.Max(c.outlook.demand.Weekly*weeksInYear*b.years[i], float64(booked))
}

// canOrder says whether a wire would have to be ordered before half of its time to the next order is over, and there is room for a pack.
func (b *buyer) canOrder(i int) bool {
	c := b.checks[i]
	return c.worthAdding() && -c.short < b.cycle(i)/2 && c.roomFor() > 0
}

// worthAdding leaves out wire that nobody may use up: unused, going out of use, or lying dead.
func (c *check) worthAdding() bool {
	return c.outlook.demand.Weekly > 0 && !c.night.Fading && !c.night.Dead
}

// order wants a wire: what is missing, and the use until the next order as far as there is room for it.
func (b *buyer) order(i int, why LineReason) {
	c, o := b.checks[i], b.checks[i].offer()
	packs := max(o.Packs(c.short), min(o.Packs(c.short+b.cycle(i)), c.roomFor()))
	b.packs[i], b.why[i] = packs, why
	if len(o.Breaks) > 0 {
		o.Most = measure.Mass(max(packs, c.roomFor())) * o.Pack
		b.packs[i] = o.Best(float64(measure.Mass(packs)*o.Pack), c.yearly(), b.fixed(), c.policy.CarryingRate)
		b.raised[i] = b.packs[i] > packs
	}
}

// fixed is a line's own cost and its even share of the order's.
func (b *buyer) fixed() money.Minor {
	c := b.checks[0]
	return c.policy.LineCost + (c.supplier.OrderCost+c.supplier.Freight)/money.Minor(len(b.checks))
}

// topUp adds packs of the wires that last shortest until the supplier's minimum is reached. Where there is no room for so many it adds none,
// and gives what all that there is room for would have come to.
func (b *buyer) topUp() (most money.Minor) {
	minimum := b.checks[0].supplier.OrderMinimum
	packs, why := slices.Clone(b.packs), slices.Clone(b.why)
	for b.total() < minimum {
		next, shortest := -1, math.Inf(1)
		for i := range b.checks {
			if weeks, ok := b.lasts(i); ok && weeks < shortest {
				next, shortest = i, weeks
			}
		}
		if next < 0 {
			most = b.total()
			b.packs, b.why, b.extra = packs, why, make([]int, len(packs))
			return most
		}
		b.packs[next]++
		b.extra[next]++
		if b.why[next] == "" {
			b.why[next] = TopUp
		}
	}
	return b.total()
}

// lasts gives the weeks that a wire would last with what is in the purchase already; false for one of which nothing more is to be added.
func (b *buyer) lasts(i int) (weeks float64, ok bool) {
	c := b.checks[i]
	if !c.worthAdding() || c.wire.PricePerKg <= 0 || b.packs[i] >= c.roomFor() {
		return 0, false
	}
	have := float64(c.night.Available) + float64(b.packs[i])*float64(c.offer().Pack)
	return have / c.outlook.demand.Weekly, true
}

func (b *buyer) total() (sum money.Minor) {
	for i, packs := range b.packs {
		sum += b.checks[i].offer().Cost(packs)
	}
	return sum
}

func (b *buyer) purchase(most money.Minor) Purchase {
	supplier, goods := b.checks[0].supplier, b.total()
	p := Purchase{Supplier: supplier.Code, BelowMinimum: goods < supplier.OrderMinimum}
	var mass measure.Mass
	for i, c := range b.checks {
		if b.packs[i] == 0 {
			continue
		}
		o := c.offer()
		line := Line{Wire: c.night.Wire, Packs: b.packs[i], Mass: measure.Mass(b.packs[i]) * o.Pack, Cost: o.Cost(b.packs[i]), Why: b.why[i],
			Extra: b.extra[i], Break: b.raised[i]}
		mass += line.Mass
		c.night.Suggest = line.Mass
		p.Lines = append(p.Lines, line)
		if c.short > 0 && (p.OrderBy.IsZero() || c.night.OrderBy < p.OrderBy) {
			p.OrderBy = c.night.OrderBy
		}
	}
	slices.SortFunc(p.Lines, func(a, b Line) int { return cmp.Compare(a.Wire, b.Wire) })
	p.Freight = supplier.Carriage(mass)
	p.Total = goods + p.Freight
	if p.BelowMinimum {
		p.Note = b.belowMinimum(goods, most)
	}
	return p
}
