package replenishment

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestLevelsAsComputed(t *testing.T) {
	l := Croston(lubricant, .1, .1)
	const three = "Forecasting: Principles and Practice, section 12.2, .985 from memory; digits computed by three routes"
	const two = "computed by two routes"
	compare(t, []published{
		{"B01 Croston", l.Rate(), .984596521358, 1e-11, three},
		{"B02 SBA", l.SBA(), .935366695290, 1e-11, two},
		{"B02 SBJ", l.SBJ(), .932775651813, 1e-11, two},
		{"B03 size", l.Size, 2.7502538401, 1e-10, three},
		{"B03 interval", l.Interval, 2.79328007, 1e-8, three},
		{"B04 TSB", TSB(lubricant, .1, .1), .825100503214, 1e-11, two},
		{"TSB, chance at .05", TSB(lubricant, .1, .05), .828555155514, 1e-11, two},
		{"B09 from the mean interval", CrostonFromMean(lubricant, .1, .1).Rate(), .866588364770, 1e-11, "computed in another program"},
		{"B08 nothing", Croston([]float64{0, 0, 0}, .1, .1).Rate(), 0, 0, "another program's answer"},
		{"B08 one demand", Croston([]float64{0, 0, 6, 0}, .1, .1).Rate(), 2, 1e-9, "another program's answer"},
		{"B08 two demands", Croston([]float64{0, 4, 0, 0, 8}, .1, .1).Rate(), 2.095238095, 1e-9, "another program's answer"},
	})
}

// One step ahead, inside the series: the same definitions at each period.
func TestCrostonStepByStep(t *testing.T) {
	want := []float64{0, 1, 1, .95, .95, 1.405, 1.405, 1.405, 1.405, 1.405, 1.18652173913, 1.18652173913}
	for i, w := range want {
		if got := Croston(lubricant[:i+1], .1, .1).Rate(); !near(got, w, 1e-11) {
			t.Errorf("after %d periods %v, want %v", i+1, got, w)
		}
	}
}

// Croston never forgets; TSB does, and that is what it is for.
func TestOnlyTSBFallsWhileNothingIsUsed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		series := rapid.SliceOfN(rapid.Float64Range(0, 100), 1, 40).Draw(t, "series")
		series = append(series, 5)
		idle := append(slices.Clone(series), make([]float64, 52)...)
		if a, b := Croston(series, .1, .1).Rate(), Croston(idle, .1, .1).Rate(); a != b {
			t.Fatalf("Croston moved from %v to %v", a, b)
		}
		if a, b := TSB(series, .1, .1), TSB(idle, .1, .1); b >= a/10 {
			t.Fatalf("TSB moved from %v to %v", a, b)
		}
	})
}

func TestFading(t *testing.T) {
	steady := slices.Repeat([]float64{10, 0, 20}, 12)
	if fading(steady) {
		t.Error("steady use is said to fade")
	}
	if !fading(append(slices.Clone(steady), make([]float64, 26)...)) {
		t.Error("half a year of nothing is not noticed")
	}
	if fading(append([]float64{10}, make([]float64, 12)...)) {
		t.Error("a quarter is too short to say")
	}
}
