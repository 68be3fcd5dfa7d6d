package winding

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// weighedStrings are finished strings whose wraps and cores are so many times the computed.
func weighedStrings(s String, n int, wraps, cores float64, bare bool, resolution measure.Mass) Weighed {
	f := s.Finished(scale, DefaultAllowances())
	core := math.Round(float64(n) * f.Core * cores)
	w := FinishedWeighing{Strings: n, Mass: measure.Mass(math.Round(core + float64(n)*f.Wraps*wraps)), Resolution: resolution}
	if bare {
		w.Cores = measure.Mass(core)
	}
	return Weighed{Kind{1, material.Hex, material.Round, "phosphor-bronze-8"}, s, []FinishedStrings{{w, f}}}
}

// Strings weighed finely, with their cores, have the mass per length that they have, whatever was computed.
func TestFinishedStringsGiveMassPerLength(t *testing.T) {
	s := aString(t)
	rapid.Check(t, func(t *rapid.T) {
		wraps, cores := rapid.Float64Range(.94, 1.06).Draw(t, "wraps"), rapid.Float64Range(.98, 1.02).Draw(t, "cores")
		w := weighedStrings(s, 50, wraps, cores, true, 1)
		got, ok := LearnMasses([]Weighed{w}).Of(w)
		want := cores*float64(s.CorePerM) + wraps*float64(s.MassPerM-s.CorePerM)
		if !ok || !near(float64(got.PerM), want, 1e-4) || got.Strings != 50 {
			t.Fatalf("%v kg/m of %d strings, want %v", got.PerM, got.Strings, want)
		}
	})
}

// A coarse scale says little of three strings: the mass lies between computed and weighed, and says how unsure it is.
func TestFewStringsAreDrawnTowardsTheComputed(t *testing.T) {
	s := aString(t)
	w := weighedStrings(s, 3, 1.05, 1, false, measure.Gram)
	got, ok := LearnMasses([]Weighed{w}).Of(w)
	own := float64(s.CorePerM) + 1.05*float64(s.MassPerM-s.CorePerM)
	if !ok || got.PerM <= s.MassPerM || float64(got.PerM) >= own || got.Uncertainty <= 0 {
		t.Errorf("%v ± %v, computed %v, weighed %v", got.PerM, got.Uncertainty, s.MassPerM, own)
	}
	if _, ok := LearnMasses([]Weighed{w}).Of(Weighed{Kind: w.Kind, String: s}); ok {
		t.Error("a recipe of which no finished string was weighed has a mass of its own")
	}
	if w := weighedStrings(s, 50, 1.3, 1, true, 1); true {
		if _, ok := LearnMasses([]Weighed{w}).Of(w); ok {
			t.Error("a factor that is questioned was learned")
		}
	}
	plain := String{Core: s.Core, CorePerM: s.CorePerM, MassPerM: s.CorePerM}
	w = weighedStrings(plain, 50, 0, 1.02, false, 1)
	w.Kind = Kind{Core: material.Hex}
	if got, ok := LearnMasses(nil).Of(w); !ok || !near(float64(got.PerM), 1.02*float64(s.CorePerM), 1e-4) {
		t.Errorf("plain strings 2 %% heavier: %+v", got)
	}
}
