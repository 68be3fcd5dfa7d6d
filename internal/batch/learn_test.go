package batch

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/winding"
)

// Expected values worked out by hand: a prior of 20 strings at the stated yield.
func TestLearnYield(t *testing.T) {
	tests := []struct {
		name        string
		stated      float64
		own, family Results
		mean, sd    float64
	}{
		{"18 of 20", 0.95, Results{18, 2}, Results{}, 37.0 / 40, math.Sqrt(37. / 40 * 3 / 40 / 41)},
		{"ten good ones do not make a recipe that never fails", 0.95, Results{10, 0}, Results{}, 29.0 / 30, math.Sqrt(29. / 30 / 30 / 31)},
		{"a recipe without history has its family's", 0.95, Results{}, Results{160, 20}, 179.0 / 200, math.Sqrt(179. / 200 * 21 / 200 / 21)},
		{"own results and the family's", 0.95, Results{20, 0}, Results{160, 20}, (17.9 + 20) / 40, math.Sqrt(37.9 / 40 * 2.1 / 40 / 41)},
		{"stated as never failing", 1, Results{19, 1}, Results{}, 39.0 / 40, math.Sqrt(39. / 40 / 40 / 41)},
		{"much history rules", 0.5, Results{9_990, 10}, Results{}, 10_000.0 / 10_020, math.Sqrt(10_000. / 10_020 * 20 / 10_020 / 10_021)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := LearnYield(tt.stated, tt.own, tt.family)
			if err != nil || math.Abs(got.Mean-tt.mean) > 1e-12 || math.Abs(got.SD-tt.sd) > 1e-12 || got.Strings != tt.own.Strings() {
				t.Errorf("got %+v, %v; want %v ± %v", got, err, tt.mean, tt.sd)
			}
		})
	}
}

func TestLearnYieldRefuses(t *testing.T) {
	for _, stated := range []float64{0, -1, 1.01, math.NaN(), math.Inf(1)} {
		if _, err := LearnYield(stated, Results{}, Results{}); !errors.Is(err, ErrYield) {
			t.Errorf("stated %v: got %v", stated, err)
		}
	}
	for _, r := range []Results{{-1, 0}, {0, -1}} {
		if _, err := LearnYield(0.9, r, Results{}); !errors.Is(err, ErrYield) {
			t.Errorf("own %v: got %v", r, err)
		}
		if _, err := LearnYield(0.9, Results{}, r); !errors.Is(err, ErrYield) {
			t.Errorf("family %v: got %v", r, err)
		}
	}
}

func TestWithoutResultsTheStatedYieldStands(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stated := rapid.Float64Range(math.SmallestNonzeroFloat64, 1).Draw(t, "stated")
		if got, err := LearnYield(stated, Results{}, Results{}); err != nil || got.Mean != stated || got.Strings != 0 {
			t.Errorf("stated %v, got %+v, %v", stated, got, err)
		}
	})
}

func someResults() *rapid.Generator[Results] {
	return rapid.Custom(func(t *rapid.T) Results {
		return Results{rapid.IntRange(0, 500).Draw(t, "good"), rapid.IntRange(0, 500).Draw(t, "scrapped")}
	})
}

func TestLearnedYieldLiesBetweenPriorAndData(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stated := rapid.Float64Range(0.01, 1).Draw(t, "stated")
		own, family := someResults().Draw(t, "own"), someResults().Draw(t, "family")
		low, high := stated, stated
		for _, r := range []Results{own, family} {
			if r.Strings() > 0 {
				rate := float64(r.Good) / float64(r.Strings())
				low, high = min(low, rate), max(high, rate)
			}
		}
		got, err := LearnYield(stated, own, family)
		if err != nil || got.Mean < low-1e-12 || got.Mean > high+1e-12 || !(got.SD >= 0) {
			t.Fatalf("got %+v, %v; prior and data lie from %v to %v", got, err, low, high)
		}
		better, _ := LearnYield(stated, Results{own.Good + 1, own.Scrapped}, family)
		worse, _ := LearnYield(stated, Results{own.Good, own.Scrapped + 1}, family)
		if better.Mean < got.Mean || worse.Mean >= got.Mean {
			t.Errorf("%v becomes %v by a good string and %v by a scrapped one", got.Mean, better.Mean, worse.Mean)
		}
	})
}

// The posterior by brute force: the prior's density times the likelihood, summed over a grid of yields.
func TestLearnYieldIsThePosterior(t *testing.T) {
	const stated, steps = 0.9, 200_000
	own := Results{11, 3}
	var weight, first, second float64
	for i := 1; i < steps; i++ {
		y := float64(i) / steps
		density := math.Pow(y, yieldStrength*stated-1+float64(own.Good)) * math.Pow(1-y, yieldStrength*(1-stated)-1+float64(own.Scrapped))
		weight, first, second = weight+density, first+density*y, second+density*y*y
	}
	mean := first / weight
	sd := math.Sqrt(second/weight - mean*mean)
	if got, err := LearnYield(stated, own, Results{}); err != nil || math.Abs(got.Mean-mean) > 1e-8 || math.Abs(got.SD-sd) > 1e-8 {
		t.Errorf("got %+v, %v; want %v ± %v", got, err, mean, sd)
	}
}

func TestLearnFactor(t *testing.T) {
	const g = measure.Gram
	family := winding.Family{Mean: 1.01, Spread: 0.01}
	scale := stock.Scale{Resolution: 100}
	weigh := func(drawn, share measure.Mass, computed float64) winding.Weighing {
		return Weighed(drawn, computed, stock.Share{Mass: share}, scale)
	}
	tests := []struct {
		name      string
		weighings []winding.Weighing
		want      float64
		weighed   int
		fails     error
	}{
		{"never weighed: the family's", nil, 1.01, 0, nil},
		// 102 g of 100 g with u = 40.82 mg, 0.00040825: weight of its own 0.01²/(0.01² + 0.00040825²) = 0.998336.
		{"2 g were missing", []winding.Weighing{weigh(100*g, -2*g, 100_000)}, 1.01 + 0.998336*0.01, 1, nil},
		{"2 g were left over", []winding.Weighing{weigh(100*g, 2*g, 100_000)}, 1.01 - 0.998336*0.03, 1, nil},
		{"a wrong spool", []winding.Weighing{weigh(100*g, -8*g, 100_000)}, 1.01, 0, winding.ErrQuestioned},
		{"and the other way", []winding.Weighing{weigh(100*g, 8*g, 100_000)}, 1.01, 0, winding.ErrQuestioned},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := LearnFactor(tt.weighings, family)
			if !errors.Is(err, tt.fails) || math.Abs(got.Value-tt.want) > 1e-7 || got.Weighings != tt.weighed || got.StdError <= 0 {
				t.Errorf("got %+v, %v; want %v from %d, %v", got, err, tt.want, tt.weighed, tt.fails)
			}
		})
	}
	if _, err := LearnFactor([]winding.Weighing{{Measured: 1}}, family); err == nil {
		t.Error("learned from a computed mass of zero")
	}
}

// A sibling that does as stated moves nothing, whatever was stated of it; one that scraps twice as much as stated says so of
// a recipe with any stated yield.
func TestResults_AsIf(t *testing.T) {
	for _, tt := range []struct {
		name          string
		seen          Results
		stated, other float64
		want          Results
	}{
		{"half was expected to be scrapped, and was", Results{50, 50}, 0.5, 0.95, Results{95, 5}},
		{"twice the scrap that was expected", Results{90, 10}, 0.95, 0.90, Results{80, 20}},
		{"the same stated yield", Results{90, 10}, 0.95, 0.95, Results{90, 10}},
		{"no scrap was expected, and some came", Results{9, 1}, 1, 0.9, Results{9, 1}},
		{"never more scrap than strings", Results{1, 9}, 0.95, 0.5, Results{0, 10}},
		{"nothing wound", Results{}, 0.9, 0.5, Results{}},
	} {
		if got := tt.seen.AsIf(tt.stated, tt.other); got != tt.want {
			t.Errorf("%s: %+v, want %+v", tt.name, got, tt.want)
		}
	}
}
