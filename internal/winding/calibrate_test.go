package winding

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/measure"
)

func TestCalibrate(t *testing.T) {
	const g = measure.Gram
	weigh := func(measured measure.Mass, computed float64) Weighing {
		return Weighing{Measured: measured, Computed: computed, Resolution: g / 10, Readings: 2}
	}
	tests := []struct {
		name      string
		weighings []Weighing
		value     float64
		stdError  float64
	}{
		// One spool before and after: 0.1 g/√6 = 40.82 mg on 100 g.
		{"one spool", []Weighing{weigh(102*g, 100e3)}, 1.02, 100 / math.Sqrt(6) / 100e3},
		// Deviations ±1 g from the common factor: √(2·1²·2/1) = 2 g on 200 g, more than the scale's.
		{"two that disagree", []Weighing{weigh(103*g, 100e3), weigh(101*g, 100e3)}, 1.02, 2.0 / 200},
		// No deviation: the scale's two spools, √2 × 40.82 mg on 200 g.
		{"two that agree", []Weighing{weigh(102*g, 100e3), weigh(102*g, 100e3)}, 1.02, math.Sqrt2 * 100 / math.Sqrt(6) / 200e3},
		{"a heavy one counts for more", []Weighing{weigh(10*g, 10e3), weigh(99*g, 90e3)}, 1.09, -1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Calibrate(tt.weighings)
			if questioned := tt.value > highestFactor; errors.Is(err, ErrQuestioned) != questioned {
				t.Fatalf("got error %v", err)
			}
			if !near(got.Value, tt.value, 1e-12) || tt.stdError >= 0 && !near(got.StdError, tt.stdError, 1e-9) {
				t.Errorf("got %+v, want %v ± %v", got, tt.value, tt.stdError)
			}
			if got.Weighings != len(tt.weighings) {
				t.Errorf("counted %d weighings", got.Weighings)
			}
		})
	}
}

func TestCalibrateQuestions(t *testing.T) {
	for measured, questioned := range map[measure.Mass]bool{929: true, 930: false, 1000: false, 1070: false, 1071: true} {
		_, err := Calibrate([]Weighing{{Measured: measured, Computed: 1000, Resolution: 1, Readings: 2}})
		if errors.Is(err, ErrQuestioned) != questioned {
			t.Errorf("%d of 1000: got %v", measured, err)
		}
	}
}

func TestCalibrateRefuses(t *testing.T) {
	if _, err := Calibrate(nil); !errors.Is(err, ErrNoWeighing) {
		t.Errorf("nothing weighed: got %v", err)
	}
	for _, w := range []Weighing{{Measured: 0, Computed: 1}, {Measured: 1}, {Measured: 1, Computed: math.NaN()},
		{Measured: 1, Computed: 1, Resolution: -1}, {Measured: 1, Computed: 1, Readings: -1}} {
		if _, err := Calibrate([]Weighing{w}); err == nil || errors.Is(err, ErrQuestioned) {
			t.Errorf("%+v: got %v", w, err)
		}
	}
}

func TestShrinkLiesBetweenOwnAndFamily(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		own := Factor{Value: rapid.Float64Range(0.93, 1.07).Draw(t, "own"), StdError: rapid.Float64Range(1e-6, 0.1).Draw(t, "error"), Weighings: 1}
		family := Family{Mean: rapid.Float64Range(0.93, 1.07).Draw(t, "mean"), Spread: rapid.Float64Range(1e-6, 0.1).Draw(t, "spread")}
		got := own.Shrink(family)
		lo, hi := min(own.Value, family.Mean), max(own.Value, family.Mean)
		if got.Value < lo-1e-12 || got.Value > hi+1e-12 {
			t.Fatalf("%v lies outside %v and %v", got.Value, lo, hi)
		}
		if got.StdError > min(own.StdError, family.Spread)*(1+1e-9) {
			t.Fatalf("knowing both is less sure (%v) than knowing either (%v, %v)", got.StdError, own.StdError, family.Spread)
		}
	})
}

func TestShrinkByHand(t *testing.T) {
	family := Family{Mean: 1.00, Spread: 0.01}
	tests := []struct {
		name  string
		own   Factor
		value float64
	}{
		{"equally sure", Factor{Value: 1.04, StdError: 0.01, Weighings: 3}, 1.02},
		{"own three times as sure", Factor{Value: 1.04, StdError: 0.01 / math.Sqrt(3), Weighings: 3}, 1.03},
		{"never weighed", Factor{}, 1.00},
		{"own without error", Factor{Value: 1.04, Weighings: 9}, 1.04},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.own.Shrink(family); !near(got.Value, tt.value, 1e-12) {
				t.Errorf("got %v, want %v", got.Value, tt.value)
			}
		})
	}
	if got := (Factor{Value: 1.04, StdError: 0.01, Weighings: 1}).Shrink(Family{Mean: 1}); got.Value != 1 {
		t.Errorf("a family without spread gave %v", got.Value)
	}
}

func TestFamilyOf(t *testing.T) {
	if got := FamilyOf([]Factor{{Value: 1.03, StdError: 0.01, Weighings: 1}, {}}); got != UnknownFamily() {
		t.Errorf("one recipe made a family: %+v", got)
	}
	f := func(v float64) Factor { return Factor{Value: v, StdError: 0.001, Weighings: 5} }
	got := FamilyOf([]Factor{f(1.00), f(1.02), f(1.04)})
	// Equal weights: mean 1.02, and the sample variance 0.02² less the errors' 0.001².
	if want := math.Sqrt(0.02*0.02 - 0.001*0.001); !near(got.Mean, 1.02, 1e-12) || !near(got.Spread, want, 1e-9) {
		t.Errorf("got %+v, want 1.02 and %v", got, want)
	}
	if got := FamilyOf([]Factor{f(1.02), f(1.02)}); !near(got.Spread, 0.0015, 1e-12) {
		t.Errorf("recipes that agree leave a spread of %v, want the least", got.Spread)
	}
}
