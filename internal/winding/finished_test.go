package winding

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// aString is a hexagonal core with a round wrap.
func aString(t *testing.T) String {
	t.Helper()
	s, err := Design(Build{Core: material.Form{Section: material.Hex, Size: 17 * measure.Thou}, CoreDensity: 7850, BallEnd: true,
		Layers: []Layer{{Form: material.Form{Section: material.Round, Size: 23 * measure.Thou / 2}, Density: 8800}}})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

const scale = 650 * measure.Millimetre

// A finished string has lost what is cut off at the chuck and the waste turns, and nothing else.
func TestFinishedIsConsumptionLessWaste(t *testing.T) {
	s, a := aString(t), DefaultAllowances()
	f := s.Finished(scale, a)
	a.WasteTurns, a.ChuckWaste = 0, 0
	c := s.At(scale, a)
	if !near(f.Core, c.Core.Kg*1e6, 1e-9) || !near(f.Wraps, c.Layers[0].Kg*1e6, 1e-9) {
		t.Errorf("got %+v, want %v and %v", f, c.Core.Kg*1e6, c.Layers[0].Kg*1e6)
	}
}

// Strings that all take so many times the computed wrap give that factor, whatever their number; the more of them, the surer it is.
func TestEqualStringsGiveTheirFactor(t *testing.T) {
	s := aString(t)
	f := s.Finished(scale, DefaultAllowances())
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.Float64Range(.95, 1.05).Draw(t, "factor")
		n, more := rapid.IntRange(1, 50).Draw(t, "strings"), rapid.IntRange(1, 50).Draw(t, "more")
		weighed := rapid.Bool().Draw(t, "cores weighed")
		weigh := func(n int) Factor {
			w := FinishedWeighing{Strings: n, Ends: measure.Mass(400 * n), Resolution: 10}
			cores := measure.Mass(math.Round(float64(n) * f.Core))
			w.Mass = cores + w.Ends + measure.Mass(math.Round(float64(n)*f.Wraps*want))
			if weighed {
				w.Cores = cores
			}
			got, err := Calibrate([]Weighing{w.Weighing(s, f)})
			if err != nil {
				t.Fatal(err)
			}
			return got
		}
		one, many := weigh(n), weigh(n+more)
		if off := math.Abs(one.Value - want); off > .6/(float64(n)*f.Wraps) { // the milligram
			t.Errorf("%d strings give %v, want %v", n, one.Value, want)
		}
		if !(many.StdError < one.StdError) {
			t.Errorf("%d strings are sure to %v, %d to %v", n, one.StdError, n+more, many.StdError)
		}
	})
}

// By hand: 10 strings, four readings of a 0.1 g scale leave 0.1 g/√12·√4 = 57.7 mg; with two readings and cores as computed, the
// tolerance of .0003 in on 19.63 thou over the corners moves their mass by 3.06 %, /√3.
func TestUncertaintyOfFinishedStrings(t *testing.T) {
	s := aString(t)
	f := s.Finished(scale, DefaultAllowances())
	w := FinishedWeighing{Strings: 10, Resolution: 100, Cores: measure.Mass(math.Round(10 * f.Core))}
	w.Mass = w.Cores + measure.Mass(math.Round(10*f.Wraps))
	got, err := Calibrate([]Weighing{w.Weighing(s, f)})
	if want := 100 / math.Sqrt(12) * 2 / (10 * f.Wraps); err != nil || !near(got.StdError, want, 1e-9) {
		t.Errorf("cores weighed: %v, %v; want %v", got.StdError, err, want)
	}
	w.Cores = 0
	got, err = Calibrate([]Weighing{w.Weighing(s, f)})
	over := 17 * 2 / math.Sqrt(3)
	want := math.Hypot(100/math.Sqrt(12)*math.Sqrt2, 10*f.Core*2*.3/over/math.Sqrt(3)) / (10 * f.Wraps)
	if err != nil || !near(got.StdError, want, 1e-5) {
		t.Errorf("cores computed: %v, %v; want %v", got.StdError, err, want)
	}
}

func TestTheOwnersWordIsBelieved(t *testing.T) {
	w := Weighing{Measured: 1100, Computed: 1000, Resolution: 1, Readings: 2}
	if _, err := Calibrate([]Weighing{w}); !errors.Is(err, ErrQuestioned) {
		t.Errorf("10 %% more: %v", err)
	}
	w.Vouched = true
	if got, err := Calibrate([]Weighing{w}); err != nil || got.Value != 1.1 {
		t.Errorf("with the owner's word: %+v, %v", got, err)
	}
}

func TestGauge(t *testing.T) {
	// 10, 12 and 14 µm-like readings: sd 2, /√3; step 1/√12.
	mean, u, n := Gauge([]Measured{{Strings: 3, Mean: 12, SD: 2, Step: 1}})
	if want := math.Sqrt(4./3 + 1./12); mean != 12 || n != 3 || !near(u, want, 1e-12) {
		t.Errorf("got %v ± %v of %d, want 12 ± %v", mean, u, n, want)
	}
	// The same in two parts.
	mean, u2, _ := Gauge([]Measured{{Strings: 2, Mean: 11, SD: math.Sqrt2, Step: 1}, {Strings: 1, Mean: 14, Step: 1}})
	if !near(mean, 12, 1e-12) || !near(u2, u, 1e-12) {
		t.Errorf("in two parts %v ± %v, want %v", mean, u2, u)
	}
	if mean, u, n := Gauge(nil); mean != 0 || u != 0 || n != 0 {
		t.Error("something of nothing")
	}
}
