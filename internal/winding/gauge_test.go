package winding

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/material"
	"windingroom/internal/measure"
)

const testThou = float64(measure.Thou)

func TestGaugeFactorOfFewStrings(t *testing.T) {
	// One string: nothing is known of the spread but the usual fifth of a thou; the micrometer steps by .05.
	one := GaugeFactor(40*testThou, []Measured{{Strings: 1, Mean: 40.4 * testThou, Step: measure.Thou / 20}})
	if want := math.Hypot(0.2, 0.05/math.Sqrt(12)) / 40; !near(one.Value, 1.01, 1e-12) || !near(one.StdError, want, 1e-9) {
		t.Errorf("one string: %v ± %v, want 1.01 ± %v", one.Value, one.StdError, want)
	}
	// Twenty-five that agree to .1: (4·.2² + 24·.1²)/28 = .4/28, over 25.
	many := GaugeFactor(40*testThou, []Measured{{Strings: 25, Mean: 40.4 * testThou, SD: 0.1 * testThou}})
	if want := math.Sqrt(0.4/28/25) / 40; !near(many.StdError, want, 1e-9) || many.Weighings != 25 {
		t.Errorf("25 strings: ± %v, want %v", many.StdError, want)
	}
	if got := GaugeFactor(1, nil); got != (Factor{}) {
		t.Errorf("nothing measured gave %+v", got)
	}
}

func gauged(alloy material.AlloyCode, thou, factor float64, strings int) Gauged {
	g := Gauged{Kind: Kind{1, material.Hex, material.Round, alloy}, Computed: thou * testThou}
	if strings > 0 {
		g.Measured = []Measured{{Strings: strings, Mean: thou * factor * testThou, SD: 0.05 * testThou, Step: measure.Thou / 20}}
	}
	return g
}

func TestGaugesOfAKind(t *testing.T) {
	all := []Gauged{gauged("nickel", 24, 0.99, 30), gauged("nickel", 32, 0.985, 30), gauged("nickel", 42, 0.99, 30), gauged("copper", 42, 1.01, 30), gauged("copper", 30, 1.01, 30)}
	g := LearnGauges(all)
	tests := []struct {
		name         string
		of           Gauged
		known        bool
		least, most  float64 // of calibrated ÷ computed
		strings      int
		surerThanOne bool // ± less than half a percent
	}{
		{"measured itself", all[0], true, 0.9875, 0.9905, 30, true},
		{"told by its kind", gauged("nickel", 38, 1, 0), true, 0.986, 0.991, 0, true},
		{"two recipes tell nothing of a third", gauged("copper", 36, 1, 0), false, 0, 0, 0, false},
		{"another kind", gauged("monel-400", 36, 1, 0), false, 0, 0, 0, false},
		{"one string draws but a part of the way", gauged("monel-400", 20, 1.02, 1), true, 1.005, 1.0125, 1, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, ok := g.Of(tt.of)
			if ok != tt.known {
				t.Fatalf("known is %v", ok)
			}
			if share := got.Gauge / tt.of.Computed; ok && (share < tt.least || share > tt.most || got.Strings != tt.strings) {
				t.Errorf("%v of the computed on %d strings, want %v to %v", share, got.Strings, tt.least, tt.most)
			}
			if sure := got.Uncertainty/tt.of.Computed < 0.005; ok && sure != tt.surerThanOne {
				t.Errorf("± %v of it", got.Uncertainty/tt.of.Computed)
			}
		})
	}
	wire := Gauged{Kind: Kind{Core: material.Round, Alloy: "music-wire"}, Computed: 10 * testThou}
	var plain []Gauged
	for range 5 {
		p := wire
		p.Measured = []Measured{{Strings: 10, Mean: 10.2 * testThou}}
		plain = append(plain, p)
	}
	if _, ok := LearnGauges(plain).Of(wire); ok {
		t.Error("a plain wire was told by others")
	}
}

// TestCalibratedGaugeLies: between what was measured and what is believed without, and no less sure than either.
func TestCalibratedGaugeLies(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := gauged("nickel", rapid.Float64Range(9, 130).Draw(t, "gauge"), rapid.Float64Range(0.97, 1.03).Draw(t, "factor"), rapid.IntRange(1, 200).Draw(t, "strings"))
		got, ok := LearnGauges([]Gauged{s}).Of(s)
		own := GaugeFactor(s.Computed, s.Measured)
		low, high := min(1, own.Value)*s.Computed, max(1, own.Value)*s.Computed
		if !ok || got.Gauge < low*(1-1e-12) || got.Gauge > high*(1+1e-12) {
			t.Fatalf("%v lies outside %v and %v", got.Gauge, low, high)
		}
		if got.Uncertainty > min(own.StdError, unknownGauge)*s.Computed*(1+1e-9) {
			t.Fatalf("± %v of measured ± %v", got.Uncertainty, own.StdError*s.Computed)
		}
	})
}
