package stock

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// Published check: 500 lb × 0.05 lb at 150 lb is 3 000 e, maintenance tolerance 3 e = 0.15 lb (a worked example of NIST
// Handbook 44, read). Pounds are not whole milligrams, so e is half a milligram off at most.
func TestMaintenanceToleranceWorkedExample(t *testing.T) {
	e, _ := measure.ParsePounds("0.05")
	load, _ := measure.ParsePounds("150")
	want, _ := measure.ParsePounds("0.15")
	got := MaintenanceTolerance(e, load)
	if got != 3*e || abs(got-want) > 2 {
		t.Errorf("got %s, want 3 e, %s", got, want)
	}
}

// Published check: class III acceptance at 1 000 e, 3 000 e and capacity (10 000 e) is 1.0, 1.5 and 2.5 e (a weigh-module
// handbook on NIST Handbook 44, read). The steps are inclusive.
func TestAcceptanceTolerance(t *testing.T) {
	const e = 10 * measure.Gram
	tests := []struct {
		name       string
		load, want measure.Mass
	}{
		{"nothing", 0, e / 2},
		{"500 e", 500 * e, e / 2},
		{"just above 500 e", 500*e + 1, e},
		{"1 000 e", 1_000 * e, e},
		{"2 000 e", 2_000 * e, e},
		{"3 000 e", 3_000 * e, 3 * e / 2},
		{"4 000 e", 4_000 * e, 3 * e / 2},
		{"10 000 e", 10_000 * e, 5 * e / 2},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := AcceptanceTolerance(e, tt.load); got != tt.want {
				t.Errorf("acceptance %s, want %s", got, tt.want)
			}
			if got := MaintenanceTolerance(e, tt.load); got != 2*tt.want {
				t.Errorf("maintenance %s, want twice %s", got, tt.want)
			}
		})
	}
}

// Computed: d = 0.1 g, gross less tare: u = 0.040825 g, k = 2: 0.081650 g; six such differences: u = 0.100 g.
func TestNetUncertainty(t *testing.T) {
	u := Scale{100 * measure.Milligram}.Net()
	if math.Abs(float64(u)-40.825) > 1e-3 || math.Abs(float64(coverage*u)-81.650) > 1e-3 || u.Expanded() != 82 {
		t.Errorf("u = %.4f mg, k = 2: %s", u, u.Expanded())
	}
	six := u
	for range 5 {
		six = six.And(u)
	}
	if math.Abs(float64(six)-100) > 1e-9 || six.Expanded() != 200 {
		t.Errorf("six differences: u = %v mg, k = 2: %s", six, six.Expanded())
	}
}

// Computed: plain steel wire (7 850 kg/m³) of 0.20 mm weighs 0.24662 g/m, so one step of a 0.1 g scale is 0.41 m of it: too
// coarse for plain gauges, where 0.01 g is wanted.
func TestAScaleStepInPlainWire(t *testing.T) {
	steel, _ := material.NewAlloys(material.BuiltIn()...).Find("music-wire")
	wire := material.Form{Section: material.Round, Size: 200 * measure.Millimetre / 1000}
	perMetre := measure.LinearDensity(float64(wire.Area()) * float64(steel.Density)).GramsPerMetre()
	if math.Abs(perMetre-0.24662) > 1e-4 {
		t.Fatalf("%v g/m", perMetre)
	}
	coarse, fine := Scale{100}, Scale{10}
	if c, f := coarse.Resolution.Grams()/perMetre, fine.Resolution.Grams()/perMetre; math.Abs(c-0.405) > 5e-4 || math.Abs(f-0.0405) > 5e-5 {
		t.Errorf("a step is %.4f m and %.4f m", c, f)
	}
}

func TestBookUncertainty(t *testing.T) {
	scale := Scale{100}
	tests := []struct {
		name  string
		drawn []Drawn
		want  float64 // mg
	}{
		{"just weighed", nil, 40.8248},
		{"an unknown recipe: 1.5 %", []Drawn{{Source: "B1", Mass: 10_000}}, math.Hypot(40.8248, 150)},
		{"a known factor", []Drawn{{Source: "B1", Recipe: "W40", Mass: 10_000, Relative: 0.004}}, math.Hypot(40.8248, 40)},
		{"one recipe errs together", []Drawn{
			{Source: "B1", Recipe: "W40", Mass: 10_000, Relative: 0.004}, {Source: "B2", Recipe: "W40", Mass: 5_000, Relative: 0.004},
		}, math.Hypot(40.8248, 60)},
		{"two recipes do not", []Drawn{
			{Source: "B1", Recipe: "W40", Mass: 10_000, Relative: 0.003}, {Source: "B2", Recipe: "W42", Mass: 10_000, Relative: 0.004},
		}, math.Hypot(40.8248, 50)},
		{"nor two batches of no known recipe", []Drawn{
			{Source: "B1", Mass: 10_000, Relative: 0.003}, {Source: "B2", Mass: 10_000, Relative: 0.004},
		}, math.Hypot(40.8248, 50)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := BookUncertainty(scale, tt.drawn); math.Abs(float64(got)-tt.want) > 1e-3 {
				t.Errorf("got %.4f mg, want %.4f", got, tt.want)
			}
		})
	}
}

func TestEveryDrawAddsUncertainty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		scale := Scale{measure.Mass(rapid.Int64Range(1, 5_000).Draw(t, "step"))}
		drawn := rapid.SliceOfN(aDraw(), 0, 6).Draw(t, "drawn")
		before := BookUncertainty(scale, drawn)
		more := append(drawn, aDraw().Draw(t, "one more"))
		if after := BookUncertainty(scale, more); after < before {
			t.Errorf("%v mg before, %v mg after a further draw", before, after)
		}
	})
}

func aDraw() *rapid.Generator[Drawn] {
	return rapid.Custom(func(t *rapid.T) Drawn {
		return Drawn{
			Source:   rapid.SampledFrom([]string{"B1", "B2", "B3", "B4"}).Draw(t, "source"),
			Recipe:   rapid.SampledFrom([]string{"", "W40", "W42"}).Draw(t, "recipe"),
			Mass:     measure.Mass(rapid.Int64Range(0, 100_000).Draw(t, "mass")),
			Relative: rapid.SampledFrom([]float64{0, 0.002, 0.01}).Draw(t, "relative"),
		}
	})
}

func TestCheckWeight(t *testing.T) {
	tests := []struct {
		name          string
		step          measure.Mass
		weight, shown measure.Mass
		want          error
	}{
		{"right", 100, 200_000, 200_000, nil},
		{"two steps off at 2 000 e", 100, 200_000, 199_800, nil},
		{"three steps off at 2 000 e", 100, 200_000, 199_700, ErrScaleOff},
		{"high is off too", 100, 10_000, 10_200, ErrScaleOff},
		{"no step", 0, 10_000, 10_000, ErrScale},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if err := (Scale{tt.step}).CheckWeight(tt.weight, tt.shown); !errors.Is(err, tt.want) {
				t.Errorf("got %v, want %v", err, tt.want)
			}
		})
	}
}

func TestRepeats(t *testing.T) {
	s := Scale{100}
	if !s.Repeats(5_000, 5_000) || !s.Repeats(5_000, 4_900) || !s.Repeats(4_900, 5_000) || s.Repeats(5_000, 5_101) {
		t.Error("readings a step apart agree, those further apart do not")
	}
}
