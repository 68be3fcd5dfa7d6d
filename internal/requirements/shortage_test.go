package requirements

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

func drawDemands(t *rapid.T) []Demand {
	var list []Demand
	for o := range rapid.IntRange(0, 8).Draw(t, "orders") {
		due := calendar.Date(739_000 + rapid.IntRange(0, 3).Draw(t, "due"))
		for p := range rapid.IntRange(1, 3).Draw(t, "positions") {
			list = append(list, Demand{
				Order: order.Code(fmt.Sprint("O", o)), DueOn: due, Line: 1, Position: p + 1,
				Recipe: rapid.SampledFrom([]catalog.RecipeCode{"P10", "W40", "D50"}).Draw(t, "recipe"),
				Scale:  measure.Size(rapid.IntRange(300, 900).Draw(t, "scale")) * measure.Millimetre, Strings: rapid.IntRange(0, 40).Draw(t, "strings"),
			})
		}
	}
	return list
}

func drawSpools(t *rapid.T) []stock.Balance {
	var list []stock.Balance
	for i, w := range []material.WireCode{"S-10", "S-16", "B-8", "B-12"} {
		for j := range rapid.IntRange(0, 3).Draw(t, "spools") {
			b := stock.Balance{Mass: measure.Mass(rapid.IntRange(0, 60_000).Draw(t, "mass")), UsableEnd: 5 * measure.Gram}
			b.Code, b.Wire = stock.SpoolCode(fmt.Sprint("S", i, j)), w
			list = append(list, b)
		}
	}
	return list
}

// A yield of 0.95 is 19/20 exactly, so 19 strings at that yield take the wire of 20.
func TestExplodeTakesTheYieldAsWritten(t *testing.T) {
	b := shopBench(t)
	uses, _ := b.Uses("W40", scale)
	needs, err := b.Explode([]Demand{{Order: "O", Recipe: "W40", Scale: scale, Strings: 19}})
	if err != nil || len(needs) != 2 {
		t.Fatalf("got %+v, %v", needs, err)
	}
	for _, u := range uses {
		if i := slices.IndexFunc(needs, func(n WireNeed) bool { return n.Wire == u.Wire }); i < 0 || needs[i].Mass != u.Each.Times(20) {
			t.Errorf("wire %s: got %+v, want %s", u.Wire, needs, u.Each.Times(20))
		}
	}
}

func TestExplodeNamesTheRowAtFault(t *testing.T) {
	for _, d := range []Demand{
		{Order: "O7", Line: 1, Position: 3, Recipe: "X", Scale: scale, Strings: 1},
		{Order: "O7", Line: 1, Position: 3, Recipe: "P10", Scale: scale, Strings: -1},
	} {
		if _, err := shopBench(t).Explode([]Demand{d}); err == nil || !strings.Contains(err.Error(), "order O7 line 1 position 3") {
			t.Errorf("got %v", err)
		}
	}
}

// The reference adds every single string as a fraction.
func TestExplodeIsTheSumOverStrings(t *testing.T) {
	b := shopBench(t)
	yields := map[catalog.RecipeCode]*big.Rat{"P10": big.NewRat(1, 1), "W40": big.NewRat(19, 20), "D50": big.NewRat(4, 5)}
	rapid.Check(t, func(t *rapid.T) {
		demands := drawDemands(t)
		sums := map[material.WireCode]*big.Rat{}
		for _, d := range demands {
			uses, _ := b.Uses(d.Recipe, d.Scale)
			for _, u := range uses {
				if sums[u.Wire] == nil {
					sums[u.Wire] = new(big.Rat)
				}
				for range d.Strings {
					one := new(big.Rat).SetInt64(int64(u.Each))
					sums[u.Wire].Add(sums[u.Wire], one.Quo(one, yields[d.Recipe]))
				}
			}
		}
		needs, err := b.Explode(demands)
		if err != nil || len(needs) != len(sums) {
			t.Fatalf("got %+v, %v, want %d wires", needs, err, len(sums))
		}
		for _, n := range needs {
			off := new(big.Rat).SetInt64(int64(n.Mass) * 1_000_000)
			off.Sub(off, sums[n.Wire])
			if off.Abs(off).Cmp(big.NewRat(500_000, 1)) > 0 {
				t.Fatalf("wire %s: %s is %s ng off, more than half a milligram", n.Wire, n.Mass, off.FloatString(1))
			}
		}
	})
}

func TestShortagesFollowNeedAndStock(t *testing.T) {
	b := shopBench(t)
	rapid.Check(t, func(t *rapid.T) {
		demands, spools := drawDemands(t), drawSpools(t)
		needs, _ := b.Explode(demands)
		short, err := b.Shortages(demands, spools)
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range needs {
			var have measure.Mass
			for _, s := range spools {
				if s.Wire == n.Wire {
					have += s.Drawable()
				}
			}
			i := slices.IndexFunc(short, func(s Shortage) bool { return s.Wire == n.Wire })
			if (i < 0) != (have >= n.Mass) {
				t.Fatalf("wire %s: needed %s, drawable %s, shortages %+v", n.Wire, n.Mass, have, short)
			}
			if i >= 0 && (short[i].Needed != n.Mass || short[i].Drawable != have || short[i].Short != n.Mass-have || len(short[i].Orders) == 0) {
				t.Fatalf("wire %s: %+v, needed %s, drawable %s", n.Wire, short[i], n.Mass, have)
			}
		}
	})
}

func TestMoreStockNeverMakesAShortageWorse(t *testing.T) {
	b := shopBench(t)
	rapid.Check(t, func(t *rapid.T) {
		demands, spools := drawDemands(t), drawSpools(t)
		before, _ := b.Shortages(demands, spools)
		more := stock.Balance{Mass: measure.Mass(rapid.IntRange(0, 60_000).Draw(t, "more"))}
		more.Wire = "S-16"
		after, _ := b.Shortages(demands, append(slices.Clone(spools), more))
		for _, a := range after {
			i := slices.IndexFunc(before, func(s Shortage) bool { return s.Wire == a.Wire })
			if i < 0 || a.Short > before[i].Short || (len(a.Orders) > 0 && len(before[i].Orders) == 0) {
				t.Fatalf("before %+v, after %+v", before, after)
			}
		}
	})
}

func TestShortagesNameTheOrdersInDueOrder(t *testing.T) {
	b := shopBench(t)
	uses, _ := b.Uses("P10", scale)
	row := func(code order.Code, due, n int) Demand {
		return Demand{Order: code, DueOn: calendar.Date(739_000 + due), Line: 1, Position: 1, Recipe: "P10", Scale: scale, Strings: n}
	}
	spool := stock.Balance{Mass: uses[0].Each.Times(12)}
	spool.Code, spool.Wire = "S1", "S-10"
	got, err := b.Shortages([]Demand{row("late", 3, 2), row("big", 1, 8), row("first", 0, 10), row("last", 4, 1)}, []stock.Balance{spool})
	if err != nil || len(got) != 1 || !slices.Equal(got[0].Orders, []order.Code{"big", "last"}) {
		t.Errorf("got %+v, %v: first takes 10 of 12, big is held up, late takes the other 2, last finds none", got, err)
	}
	if !got[0].HoldsUp("big") || got[0].HoldsUp("late") {
		t.Errorf("HoldsUp disagrees with %v", got[0].Orders)
	}
}
