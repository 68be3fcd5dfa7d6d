package replenishment

// Lot sizes for a known demand that varies: one lot at its setup cost covers this period and some after it, and what is kept to the end
// of a period costs hold a unit. The nightly rule does not use them: of demand that varies it knows too little of the future.

// SilverMeal gives a lot for each period by Silver and Meal's rule (Production and Inventory Management 14, 1973, from memory): a lot grows as
// long as its cost per period does not rise; at a tie it grows.
func SilverMeal(demand []int64, setup, hold float64) (lots []int64) {
	lots = make([]int64, len(demand))
	for first := 0; first < len(demand); {
		if demand[first] == 0 {
			first++
			continue
		}
		cost, next := setup, first+1
		lots[first] = demand[first]
		for ; next < len(demand); next++ {
			periods := float64(next - first)
			more := cost + hold*float64(demand[next])*periods
			if more*periods > cost*(periods+1) {
				break
			}
			cost = more
			lots[first] += demand[next]
		}
		first = next
	}
	return lots
}

// WagnerWhitin gives the lots of least cost, exactly (Management Science 5, 1958, from memory), and the least cost of the periods up to each.
func WagnerWhitin(demand []int64, setup, hold float64) (lots []int64, least []float64) {
	n := len(demand)
	least = make([]float64, n)
	from := make([]int, n) // the period whose lot covers this one
	before := func(period int) float64 {
		if period == 0 {
			return 0
		}
		return least[period-1]
	}
	for last, d := range demand {
		if from[last] = last; d == 0 {
			least[last] = before(last)
			continue
		}
		least[last] = before(last) + setup
		held, after := 0.0, float64(d)
		for first := last - 1; first >= 0; first-- {
			held += hold * after // one period longer for all after it
			after += float64(demand[first])
			if c := before(first) + setup + held; c < least[last] {
				least[last], from[last] = c, first
			}
		}
	}
	lots = make([]int64, n)
	for last := n - 1; last >= 0; last = from[last] - 1 {
		for t := from[last]; t <= last; t++ {
			lots[from[last]] += demand[t]
		}
	}
	return lots, least
}

// LotCost gives what lots cost that cover a demand.
func LotCost(demand, lots []int64, setup, hold float64) (cost float64) {
	var kept int64
	for i, lot := range lots {
		if lot > 0 {
			cost += setup
		}
		kept += lot - demand[i]
		cost += hold * float64(kept)
	}
	return cost
}
