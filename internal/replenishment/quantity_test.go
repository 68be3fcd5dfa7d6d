package replenishment

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// units sells one unit as a kilogram, prices in cents.
func units(price float64, breaks ...float64) Offer {
	o := Offer{Pack: measure.Kilogram, PricePerKg: money.Minor(math.Round(price * 100))}
	for i := 0; i < len(breaks); i += 2 {
		o.Breaks = append(o.Breaks, Break{measure.Mass(breaks[i]) * measure.Kilogram, money.Minor(math.Round(breaks[i+1] * 100))})
	}
	return o
}

func TestEOQAsPublished(t *testing.T) {
	const chopra = "Chopra and Meindl, Supply Chain Management, read in a copy"
	compare(t, []published{
		{"D01", EOQ(10000, 30, 15), 200, 1e-9, "Render and Stair, solutions read in a copy"},
		{"medical pumps", EOQ(1000, 500, 35), 169.03, .005, "Hopp and Spearman, Factory Physics, read in a copy"},
		{"D03", EOQ(12000, 4000, 100), 979.796, 1e-3, chopra},
		{"D03 four together", EOQ(48000, 4000, 100), 1959.592, 1e-3, chopra},
	})
}

func TestPriceBreaksAsPublished(t *testing.T) {
	for _, c := range []struct {
		name    string
		offer   Offer
		demand  measure.Mass
		order   money.Minor
		holding float64
		want    int
		cost    float64
	}{
		{"D04", units(53, 50, 51.5, 100, 49.5, 200, 48, 500, 47), 800, 60_00, .3, 200, 40080},
		{"D06", units(50, 500, 48), 7500, 30_00, .1, 500, 361650},
		{"three prices", units(30, 500, 28, 800, 26), 5000, 100_00, .1, 800, 131665},
	} {
		yearly := c.demand * measure.Kilogram
		got := c.offer.Best(0, yearly, c.order, c.holding)
		if cost := c.offer.Yearly(got, yearly, c.order, c.holding) / 100; got != c.want || !near(cost, c.cost, .05) {
			t.Errorf("%s: %d for %v, want %d for %v (solutions read in copies)", c.name, got, cost, c.want, c.cost)
		}
	}
	d04 := units(53, 50, 51.5, 100, 49.5, 200, 48, 500, 47)
	for packs, want := range map[int]float64{79: 42417.87, 100: 40822.5, 500: 41221} {
		if got := d04.Yearly(packs, 800*measure.Kilogram, 60_00, .3) / 100; !near(got, want, .05) {
			t.Errorf("D04 at %d: %v, want %v", packs, got, want)
		}
	}
}

func TestBestIsTheLeastOfAllPacks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := Offer{
			Pack:       measure.Mass(rapid.Int64Range(1, 40).Draw(t, "pack")) * 125 * measure.Gram,
			PricePerKg: money.Minor(rapid.Int64Range(100, 20000).Draw(t, "price")),
			Least:      measure.Mass(rapid.Int64Range(0, 10).Draw(t, "least")) * measure.Kilogram,
		}
		from, price := measure.Mass(0), o.PricePerKg
		for range rapid.IntRange(0, 4).Draw(t, "breaks") {
			from += measure.Mass(rapid.Int64Range(1, 40).Draw(t, "further")) * 700 * measure.Gram
			price = price * money.Minor(rapid.Int64Range(50, 100).Draw(t, "percent")) / 100
			o.Breaks = append(o.Breaks, Break{from, price})
		}
		yearly := measure.Mass(rapid.Int64Range(0, 200).Draw(t, "yearly")) * measure.Kilogram
		order := money.Minor(rapid.Int64Range(0, 20000).Draw(t, "order"))
		atLeast := rapid.Float64Range(0, 2e7).Draw(t, "at least")
		got := o.Best(atLeast, yearly, order, .2)
		best := math.Inf(1)
		for packs := o.Packs(atLeast); packs <= 3000; packs++ {
			best = math.Min(best, o.Yearly(packs, yearly, order, .2))
		}
		if cost := o.Yearly(got, yearly, order, .2); cost > best*(1+1e-12) {
			t.Fatalf("%d packs cost %v, the least is %v", got, cost, best)
		}
		if mass := measure.Mass(got) * o.Pack; float64(mass) < atLeast*(1-1e-6) || mass < o.Least {
			t.Fatalf("%v is less than asked for", mass)
		}
	})
}

func TestCostOfALineIsExact(t *testing.T) {
	o := Offer{Pack: 250 * measure.Gram, PricePerKg: 66_55, Breaks: []Break{{measure.Kilogram, 60_01}}}
	for packs, want := range map[int]money.Minor{1: 16_64, 2: 33_28, 3: 49_91, 4: 60_01, 5: 75_01} {
		if got := o.Cost(packs); got != want {
			t.Errorf("%d packs cost %d, want %d", packs, got, want)
		}
	}
	if got := o.Packs(500_000); got != 2 {
		t.Errorf("500 g take %d packs", got)
	}
	if got := o.Packs(500_001); got != 3 {
		t.Errorf("a milligram more takes %d packs", got)
	}
}

func TestLotsAsPublished(t *testing.T) {
	year := []int64{10, 62, 12, 130, 154, 129, 88, 52, 124, 160, 238, 41}
	const southampton = "a university's working paper on lot sizing, read in a copy"
	for _, c := range []struct {
		name        string
		demand      []int64
		setup, hold float64
		silverMeal  []int64
		exact       []int64
		cost, least float64
		source      string
	}{
		{"D07", []int64{40, 20, 10, 30, 20}, 100, 2, nil, []int64{70, 0, 0, 50, 0}, 0, 320, southampton},
		{"D08", []int64{40, 20, 10, 30, 60}, 100, 2, nil, []int64{70, 0, 0, 30, 60}, 0, 380, southampton},
		{"D09", []int64{18, 30, 42, 5, 20}, 80, 2, []int64{48, 0, 47, 0, 20}, nil, 310, 310, "Nahmias, exercise, lots read in a copy"},
		{"D10", year, 54, .4, []int64{84, 0, 0, 130, 283, 0, 140, 0, 124, 160, 279, 0}, nil, 501.20, 501.20, "Silver, Pyke and Peterson, from memory"},
	} {
		lots, least := WagnerWhitin(c.demand, c.setup, c.hold)
		if got := least[len(least)-1]; !near(got, c.least, 1e-9) || !near(LotCost(c.demand, lots, c.setup, c.hold), c.least, 1e-9) {
			t.Errorf("%s: least cost %v, want %v (%s)", c.name, got, c.least, c.source)
		}
		if c.exact != nil && !slices.Equal(lots, c.exact) {
			t.Errorf("%s: lots %v, want %v (%s)", c.name, lots, c.exact, c.source)
		}
		if c.silverMeal == nil {
			continue
		}
		sm := SilverMeal(c.demand, c.setup, c.hold)
		if !slices.Equal(sm, c.silverMeal) || !near(LotCost(c.demand, sm, c.setup, c.hold), c.cost, 1e-9) {
			t.Errorf("%s: Silver-Meal %v, want %v at %v (%s)", c.name, sm, c.silverMeal, c.cost, c.source)
		}
	}
	_, least := WagnerWhitin([]int64{40, 20, 10, 30, 20}, 100, 2)
	if !slices.Equal(least, []float64{100, 140, 180, 280, 320}) {
		t.Errorf("D07: costs %v (%s)", least, southampton)
	}
}

// leastByTrying splits the periods in every way.
func leastByTrying(demand []int64, setup, hold float64) float64 {
	best := math.Inf(1)
	for mask := range 1 << len(demand) {
		lots := make([]int64, len(demand))
		at := -1
		for i, d := range demand {
			if mask>>i&1 == 1 {
				at = i
			}
			if at < 0 && d > 0 {
				at = -2
				break
			}
			if at >= 0 {
				lots[at] += d
			}
		}
		if at != -2 {
			best = math.Min(best, LotCost(demand, lots, setup, hold))
		}
	}
	return best
}

func TestLotLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		demand := rapid.SliceOfN(rapid.Int64Range(0, 60), 0, 8).Draw(t, "demand")
		setup, hold := float64(rapid.IntRange(0, 200).Draw(t, "setup")), float64(rapid.IntRange(0, 5).Draw(t, "hold"))
		exact, _ := WagnerWhitin(demand, setup, hold)
		least := LotCost(demand, exact, setup, hold)
		if len(demand) > 0 && least != leastByTrying(demand, setup, hold) {
			t.Fatalf("%v cost %v, trying finds %v", exact, least, leastByTrying(demand, setup, hold))
		}
		lots := SilverMeal(demand, setup, hold)
		if cost := LotCost(demand, lots, setup, hold); cost < least {
			t.Fatalf("Silver-Meal costs %v, less than the least %v", cost, least)
		}
		for _, plan := range [][]int64{exact, lots} {
			var kept int64
			for i := range plan {
				if kept += plan[i] - demand[i]; kept < 0 {
					t.Fatalf("%v runs short of %v", plan, demand)
				}
			}
			if kept != 0 {
				t.Fatalf("%v leaves %d of %v", plan, kept, demand)
			}
		}
	})
}

func TestJointOrdersAsPublished(t *testing.T) {
	const spreadsheet = "a spreadsheet to Chopra and Meindl's example, read in a copy"
	const computed = "Chopra and Meindl 11-3 and 11-4, from memory and computed"
	two := []Joint{{10000 * 100, 100}, {4000 * 400, 400}}
	n, cost := JointFrequency(10000, two, .2)
	three := []Joint{{12000 * 500, 1000}, {1200 * 500, 1000}, {120 * 500, 1000}}
	separate := 0.0
	for _, i := range three {
		separate += math.Sqrt(2 * .2 * i.Value * (4000 + i.Line))
	}
	_, together := JointFrequency(4000, three, .2)
	m, years := Multiples(4000, three, .2)
	compare(t, []published{
		{"D12 orders", n, 4.976134, 1e-5, spreadsheet},
		{"D12 first lot", 10000 / n, 2009.592, .01, spreadsheet},
		{"D12 second lot", 4000 / n, 803.837, .01, spreadsheet},
		{"D12 cost", cost, 104498.80, .01, spreadsheet},
		{"D13 apart", separate, 155139.98, .01, computed},
		{"D13 together", together, 136557.68, .01, computed},
		{"D13 multiples", JointCost(4000, three, .2, m, years), 130766.97, .01, computed},
	})
	if !slices.Equal(m, []int{1, 1, 4}) {
		t.Errorf("D13: multiples %v, want 1, 1, 4", m)
	}
	if m, years := Multiples(0, []Joint{{100, 0}, {0, 5}}, .2); !slices.Equal(m, []int{1, 1}) || years != 0 {
		t.Errorf("orders that cost nothing: %v %v", m, years)
	}
	if m, years := Multiples(50, []Joint{{0, 5}}, .2); !slices.Equal(m, []int{1}) || years != 0 {
		t.Errorf("nothing used: %v %v", m, years)
	}
}
