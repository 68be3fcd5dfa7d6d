package stock

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/measure"
)

// Expected values worked out by hand from s² = (3·(0.02·mean)² + Σ(x − mean)²)/(3 + n − 1).
func TestLearnTare(t *testing.T) {
	tests := []struct {
		name    string
		empties []measure.Mass
		tare    measure.Mass
		single  float64 // mg
		spread  measure.Mass
	}{
		{"one spool: the usual 2 %", []measure.Mass{200_000}, 200_000, 4_000, 11_314},
		{"two that agree", []measure.Mass{200_000, 200_000}, 200_000, 3_464.1016, 8_486},
		{"three that differ", []measure.Mass{197_000, 200_000, 203_000}, 200_000, math.Sqrt(66e6 / 5), 8_391},
		{"a mean between two milligrams", []measure.Mass{100_000, 100_001}, 100_001, 1_732.0595, 4_243},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := LearnTare("half kilo", tt.empties)
			if err != nil || got.Tare != tt.tare || got.Weighed != len(tt.empties) || math.Abs(float64(got.Single)-tt.single) > 1e-3 {
				t.Errorf("got %+v, %v; want %s, %v", got, err, tt.tare, tt.single)
			}
			if got.Spread() != tt.spread {
				t.Errorf("spread %s, want %s", got.Spread(), tt.spread)
			}
		})
	}
}

func TestAnAbsurdTareIsRefused(t *testing.T) {
	known, err := LearnTare("half kilo", []measure.Mass{200_000, 201_000, 199_000})
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name string
		kind SpoolType
		tare measure.Mass
		want error
	}{
		{"usual", known, 203_000, nil},
		{"a quarter more", known, 250_000, nil},
		{"beyond a quarter more", known, 250_001, ErrTare},
		{"beyond a quarter less", known, 149_999, ErrTare},
		{"nothing", known, 0, ErrTare},
		{"a new type takes what it is given", SpoolType{Name: "new"}, 1_000, nil},
		{"but not nothing", SpoolType{Name: "new"}, 0, ErrTare},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if err := tt.kind.Check(tt.tare); !errors.Is(err, tt.want) {
				t.Errorf("got %v, want %v", err, tt.want)
			}
		})
	}
	if _, err := LearnTare("half kilo", []measure.Mass{200_000, 201_000, 512_000}); !errors.Is(err, ErrTare) || !strings.Contains(err.Error(), "512 g") {
		t.Errorf("a spool with wire on it: %v", err)
	}
	if _, err := LearnTare("half kilo", nil); err == nil {
		t.Error("learned from nothing")
	}
}

func TestTareLiesAmongItsSpools(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var empties []measure.Mass
		for _, m := range rapid.SliceOfN(rapid.Int64Range(180_000, 220_000), 1, 20).Draw(t, "empties") {
			empties = append(empties, measure.Mass(m))
		}
		got, err := LearnTare("half kilo", empties)
		if err != nil {
			t.Fatal(err)
		}
		low, high := empties[0], empties[0]
		for _, m := range empties {
			low, high = min(low, m), max(high, m)
		}
		if got.Tare < low || got.Tare > high {
			t.Errorf("tare %s, spools from %s to %s", got.Tare, low, high)
		}
		more, err := LearnTare("half kilo", append(empties, got.Tare))
		if err != nil || more.Spread() > got.Spread() {
			t.Errorf("a further usual spool widened the spread from %s to %s, %v", got.Spread(), more.Spread(), err)
		}
	})
}
