package stringdesign

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/measure"
)

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol*math.Max(math.Abs(a), math.Abs(b)) }

func draw(t *rapid.T, label string, from, to float64) float64 {
	return rapid.Float64Range(from, to).Draw(t, label)
}

func TestTensionLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mu := measure.LinearDensity(draw(t, "mu", 1e-4, 0.1))
		scale := measure.Length(draw(t, "scale", 0.2, 2))
		f := measure.Frequency(draw(t, "pitch", 8, 5000))
		tension := Tension(mu, scale, f)
		if longer := Tension(mu, scale*1.01, f); longer <= tension {
			t.Fatalf("a longer scale pulls %v, the shorter %v", longer, tension)
		}
		if !near(float64(Tension(2*mu, scale, f)), 2*float64(tension), 1e-12) || !near(float64(Tension(mu, scale, 2*f)), 4*float64(tension), 1e-12) {
			t.Fatal("tension must grow with the mass and with the square of the pitch")
		}
		if got := Frequency(mu, scale, tension); !near(float64(got), float64(f), 1e-12) {
			t.Fatalf("the tension of %v Hz sounds %v Hz", f, got)
		}
		if got := LinearDensityFor(tension, scale, f); !near(float64(got), float64(mu), 1e-12) {
			t.Fatalf("the tension of %v kg/m wants %v kg/m", mu, got)
		}
	})
}

// TestPlainStressKnowsNoDiameter: at a pitch and scale every plain steel string carries the same stress, so it breaks at
// the same pitch.
func TestPlainStressKnowsNoDiameter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const density = 7850
		d := draw(t, "diameter", 1e-4, 2e-3)
		area := measure.Area(math.Pi / 4 * d * d)
		scale, f := measure.Length(draw(t, "scale", 0.2, 2)), measure.Frequency(draw(t, "pitch", 8, 5000))
		stress := CoreStress(Tension(measure.LinearDensity(density*float64(area)), scale, f), area)
		if want := density * math.Pow(2*float64(scale)*float64(f), 2); !near(float64(stress), want, 1e-12) {
			t.Fatalf("stress is %v, want %v", stress, want)
		}
		if got := BreakingPitch(stress, density, scale); !near(float64(got), float64(f), 1e-12) {
			t.Fatalf("the stress at %v Hz is reached at %v Hz", f, got)
		}
	})
}

func TestLoadOf(t *testing.T) {
	for share, want := range map[float64]Load{0: Fine, 0.6: Fine, 0.6000001: Caution, 0.7: Caution, 0.7000001: Refused, 2: Refused, math.NaN(): Refused} {
		if got := LoadOf(share); got != want {
			t.Errorf("a share of %v is %s, want %s", share, got, want)
		}
	}
}

func TestModulusChangesAtThirtyTwoThou(t *testing.T) {
	for thou, want := range map[float64]measure.Stress{31.9: 203.4e9, 32.1: 200e9, 63: 200e9} {
		if got := MusicWireModulus(measure.Length(thou * 25.4e-6)); got != want {
			t.Errorf("%v thou: %v, want %v", thou, got, want)
		}
	}
}

func TestStiffPartialsRise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := draw(t, "B", 1e-8, 1e-2)
		for n := 2; n < 30; n++ {
			if PartialCents(b, n) <= PartialCents(b, n-1) {
				t.Fatalf("partial %d is not sharper than the one below", n)
			}
		}
		// The frequency itself: n f₀ √(1 + B n²).
		if got, want := math.Exp2(PartialCents(b, 5)/1200), math.Sqrt(1+b*25); !near(got, want, 1e-12) {
			t.Fatalf("fifth partial stretched by %v, want %v", got, want)
		}
	})
	if PartialCents(0, 7) != 0 {
		t.Error("a string without stiffness has sharp partials")
	}
}
