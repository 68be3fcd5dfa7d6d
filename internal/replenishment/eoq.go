package replenishment

import (
	"math"
	"slices"

	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// EOQ gives the economic order quantity √(2DS/H): yearly demand, cost of an order, cost of holding one unit for a year (Harris 1913, from memory).
func EOQ(yearly, order, hold float64) float64 { return math.Sqrt(2 * yearly * order / hold) }

// Break is a price that holds for the whole order line from a mass on (all units).
type Break struct {
	From       measure.Mass
	PricePerKg money.Minor
}

// Offer is how a supplier sells a wire.
type Offer struct {
	Pack       measure.Mass // above zero
	Least      measure.Mass // least mass of a line; zero for none
	Most       measure.Mass // most of it that is worth ordering; zero for no bound
	PricePerKg money.Minor
	Breaks     []Break // by From
}

// Price gives the price per kilogram of a line.
func (o Offer) Price(line measure.Mass) money.Minor {
	price := o.PricePerKg
	for _, b := range o.Breaks {
		if line >= b.From {
			price = b.PricePerKg
		}
	}
	return price
}

// Cost gives what a line of so many packs costs, to the minor unit.
func (o Offer) Cost(packs int) money.Minor {
	line := measure.Mass(packs) * o.Pack
	return money.Share(o.Price(line), int64(line), int64(measure.Kilogram))
}

// Packs gives the fewest packs that hold a mass and the supplier sells; at least one.
func (o Offer) Packs(mass float64) int {
	return max(int(math.Ceil(math.Max(mass, float64(o.Least))/float64(o.Pack)-1e-9)), 1)
}

// Yearly gives what a year costs when so many packs are ordered at a time: wire, orders, and holding half a line at the price paid for it.
func (o Offer) Yearly(packs int, yearly measure.Mass, order money.Minor, holding float64) float64 {
	line, price := measure.Mass(packs)*o.Pack, float64(o.Price(measure.Mass(packs)*o.Pack))
	return yearly.Kilograms()*price + float64(order)*float64(yearly)/float64(line) + holding*price*line.Kilograms()/2
}

// Best gives the packs, no fewer than hold a mass and no more than are worth ordering, with which a year costs least; of equals the fewest. Within one price the cost falls
// to the economic quantity and rises after it, so a bracket's candidates are the packs either side of that, kept inside the bracket.
func (o Offer) Best(atLeast float64, yearly measure.Mass, order money.Minor, holding float64) int {
	least := o.Packs(atLeast)
	best, cost := least, o.Yearly(least, yearly, order, holding)
	for _, packs := range o.candidates(least, yearly, order, holding) {
		if o.Most > 0 && measure.Mass(packs)*o.Pack > o.Most {
			continue
		}
		if c := o.Yearly(packs, yearly, order, holding); c < cost || c == cost && packs < best {
			best, cost = packs, c
		}
	}
	return best
}

func (o Offer) candidates(least int, yearly measure.Mass, order money.Minor, holding float64) []int {
	starts := []int{least}
	for _, b := range o.Breaks {
		if start := o.Packs(float64(b.From)); start > least {
			starts = append(starts, start)
		}
	}
	slices.Sort(starts)
	var all []int
	for i, start := range starts {
		all = append(all, start)
		hold := holding * float64(o.Price(measure.Mass(start)*o.Pack))
		if hold <= 0 || order <= 0 || yearly <= 0 {
			continue
		}
		kg := EOQ(yearly.Kilograms(), float64(order), hold)
		last := math.MaxInt32
		if i+1 < len(starts) {
			last = starts[i+1] - 1
		}
		below := int(math.Min(kg/o.Pack.Kilograms(), math.MaxInt32-1))
		for _, packs := range []int{below, below + 1} {
			all = append(all, max(min(packs, last), start))
		}
	}
	return all
}
