package replenishment

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func weeksOf(n int, xs ...float64) (series []float64) {
	for i := range n {
		series = append(series, xs[i%len(xs)])
	}
	return series
}

func TestRuleByHistory(t *testing.T) {
	for _, c := range []struct {
		name  string
		weeks []float64
		want  Method
	}{
		{"never used", nil, OwnMinimum},
		{"used, then out of stock ever since", []float64{}, OwnMinimum},
		{"twelve busy weeks", weeksOf(12, 5, 9), OccurrenceSize},
		{"three demands in a year", weeksOf(52, append([]float64{4}, make([]float64, 19)...)...), OccurrenceSize},
		{"a quarter", weeksOf(13, 5, 9), Gamma},
		{"half a year, smooth", weeksOf(26, 5, 9), Normal},
		{"half a year, erratic", weeksOf(26, 1, 1, 9), Gamma},
		{"a year and a half, lumpy", weeksOf(76, 1, 0, 30, 0), GammaOrBlocks},
		{"a year and a half, seldom", weeksOf(76, append([]float64{4}, make([]float64, 5)...)...), Gamma},
		{"a year and a half, smooth", weeksOf(76, 5, 9), Normal},
	} {
		d := DemandOf(History{Weeks: c.weeks}, 0, 7)
		if d.Method != c.want {
			t.Errorf("%s: %s, want %s", c.name, d.Method, c.want)
		}
		if c.want == OwnMinimum && d.OrderPoint(.95, 4, 0) != 7 {
			t.Errorf("%s: keeps %v, not the shop's own minimum", c.name, d.OrderPoint(.95, 4, 0))
		}
	}
}

// By hand: k = 1 of n = 3, size 10, family 20: chance 1.5/4, size (10+20)/2, scatter .5.
func TestThinHistoryByHand(t *testing.T) {
	d := DemandOf(History{Weeks: []float64{10, 0, 0}, Largest: 10}, 20, 0)
	compare(t, []published{
		{"weekly", d.Weekly, .375 * 15, 1e-12, "by hand"},
		{"variance", d.Variance, .375 * 225 * (1.5 - .375), 1e-9, "by hand"},
		{"its quantile", d.Total(.95, 4, 0), GammaQuantile(.95, 4*d.Weekly, d.Variance*(4+16./3)), 1e-9, "by hand"},
	})
	d.Floor = 1e6
	if d.OrderPoint(.95, 4, 0) != 1e6 {
		t.Error("the order point lies below the largest line")
	}
}

func TestMeanBySBAWhereDemandIsSeldom(t *testing.T) {
	series := weeksOf(40, 12, 0, 0, 0)
	if d := DemandOf(History{Weeks: series}, 0, 0); !near(d.Weekly, CrostonFromMean(series, .1, .1).SBA(), 1e-12) || d.Weekly >= mean(series)*1.05 {
		t.Errorf("seldom: %v a week", d.Weekly)
	}
	if d := DemandOf(History{Weeks: weeksOf(40, 12, 1, 1)}, 0, 0); d.Weekly != mean(weeksOf(40, 12, 1, 1)) {
		t.Errorf("often: %v a week", d.Weekly)
	}
}

// A lumpy record whose worst months cluster: the record itself asks for more than the gamma does, and is believed.
func TestBlocksOfALumpyRecord(t *testing.T) {
	var series []float64
	for i := range 156 {
		switch {
		case i%39 < 8:
			series = append(series, 40)
		case i%3 == 0:
			series = append(series, 1)
		default:
			series = append(series, 0)
		}
	}
	d := DemandOf(History{Weeks: series}, 0, 0)
	blocks, ok := d.blocks(.95, 6)
	if d.Method != GammaOrBlocks || d.Pattern.Class() != Lumpy || !ok || blocks != 240 {
		t.Fatalf("%s %s, blocks %v %v", d.Method, d.Pattern.Class(), blocks, ok)
	}
	if got := d.OrderPoint(.95, 6, 0); got != 240 {
		t.Errorf("order point %v, the gamma says %v", got, d.Total(.95, 6, 0))
	}
	if _, ok := d.blocks(.95, 9); ok {
		t.Error("17 blocks end to end were enough")
	}
}

func TestOrderPointLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := History{Weeks: rapid.SliceOfN(rapid.OneOf(rapid.Just(0.), rapid.Float64Range(1, 1e6)), 1, 120).Draw(t, "weeks")}
		h.Weeks[0] = 1000
		h.Lines, h.Largest = h.Weeks, slices.Max(h.Weeks)
		d := DemandOf(h, rapid.Float64Range(0, 1e6).Draw(t, "family"), 0)
		cover := rapid.Float64Range(.1, 20).Draw(t, "weeks to cover")
		s := d.OrderPoint(.95, cover, 0)
		if math.IsNaN(s) || math.IsInf(s, 0) || s < 0 {
			t.Fatalf("order point %v of %+v", s, d)
		}
		const slack = 1e-9
		if total := d.Total(.95, cover, 0); d.Total(.98, cover, 0) < total*(1-slack) {
			t.Fatal("a surer total is smaller")
		}
		if d.Method != GammaOrBlocks && d.Total(.95, cover+1, 0) < d.Total(.95, cover, 0)*(1-slack) {
			t.Fatal("a longer cover takes less")
		}
		wider := TotalVariance(d.Variance, cover, d.Weeks) + d.Weekly*d.Weekly // where nothing at all is likely, a wider gamma has the lower quantile
		if m := d.Weekly * cover; wider < m*m && d.Total(.95, cover, 1) < d.Total(.95, cover, 0)*(1-slack) {
			t.Fatal("an unsure lead time takes less")
		}
	})
}
