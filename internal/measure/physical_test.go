package measure

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// The pound-force is the pound times standard gravity, both exact: 0.453 592 37 kg × 9.806 65 m/s2 (NIST SP 811, appendix
// B, and third CGPM, 1901, from memory).
func TestPoundForceIsExact(t *testing.T) {
	pound, _ := new(big.Rat).SetString("0.45359237")
	gravity, _ := new(big.Rat).SetString("9.80665")
	want, _ := new(big.Rat).Mul(pound, gravity).Float64()
	if newtonsPerPoundForce != want {
		t.Errorf("1 lbf is %v N, want %v", newtonsPerPoundForce, want)
	}
	if got := float64(FromPoundsForce(1)); got != want {
		t.Errorf("FromPoundsForce(1) is %v N, want %v", got, want)
	}
}

// NIST SP 811, appendix B.8 (from memory): pound-force per square inch to pascal, 6.894 757 E+03, rounded to seven digits.
func TestKSI(t *testing.T) {
	if got, want := FromKSI(1).Megapascals(), 6.894757; math.Abs(got-want) > 0.5e-6 {
		t.Errorf("1 ksi is %v MPa, want %v to seven digits", got, want)
	}
}

func TestPhysicalQuantitiesSurviveTheirOtherUnit(t *testing.T) {
	close := func(a, b float64) bool { return math.Abs(a-b) <= 4e-16*math.Max(math.Abs(a), math.Abs(b)) }
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(0, 1e6).Draw(t, "value")
		if got := FromPoundsForce(Force(v).PoundsForce()); !close(float64(got), v) {
			t.Errorf("%v N through lbf gave %v N", v, float64(got))
		}
		if got := FromPoundsForce(v).PoundsForce(); !close(got, v) {
			t.Errorf("%v lbf through N gave %v lbf", v, got)
		}
		if got := FromKSI(v).KSI(); !close(got, v) {
			t.Errorf("%v ksi through Pa gave %v ksi", v, got)
		}
	})
}

func TestPhysicalText(t *testing.T) {
	tests := []struct{ name, got, want string }{
		{"force", Force(100).String(), "100.0 N (22.48 lbf)"},
		{"length", Length(0.6477).String(), "0.6477 m"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if tt.got != tt.want {
				t.Errorf("got %q, want %q", tt.got, tt.want)
			}
		})
	}
	if got := LinearDensity(0.0055).GramsPerMetre(); math.Abs(got-5.5) > 1e-12 {
		t.Errorf("0.0055 kg/m is %v g/m, want 5.5", got)
	}
}
