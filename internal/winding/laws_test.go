package winding

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/material"
	"windingroom/internal/measure"
)

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol*math.Max(math.Abs(a), math.Abs(b)) }

func drawSize(t *rapid.T, label string, from, to measure.Size) measure.Size {
	return measure.Size(rapid.Int64Range(int64(from), int64(to)).Draw(t, label))
}

// drawBuild draws a string that can be wound: any core, up to three touching or open wraps, one of them perhaps a ribbon.
func drawBuild(t *rapid.T) Build {
	b := Build{
		Core:        material.Form{Section: material.Round, Size: drawSize(t, "core", 8*thou, 60*thou)},
		CoreDensity: measure.Density(rapid.Float64Range(1000, 20000).Draw(t, "core density")),
		BallEnd:     rapid.Bool().Draw(t, "ball end"),
	}
	if rapid.Bool().Draw(t, "hex") {
		b.Core.Section = material.Hex
	}
	for range rapid.IntRange(0, MaxLayers).Draw(t, "layers") {
		l := Layer{
			Form:    material.Form{Section: material.Round, Size: drawSize(t, "wrap", 3*thou, 25*thou)},
			Density: measure.Density(rapid.Float64Range(1000, 20000).Draw(t, "wrap density")),
		}
		if rapid.Bool().Draw(t, "ribbon") {
			l.Form.Section = material.Flat
			l.Form.Thickness = drawSize(t, "thickness", thou, l.Form.Size)
		}
		if rapid.Bool().Draw(t, "open") {
			l.Lay = 3*l.Form.Size + drawSize(t, "gap", 0, 50*thou) // more than any touching lay of these proportions
		}
		b.Layers = append(b.Layers, l)
	}
	return b
}

func mustDesign(t interface{ Fatalf(string, ...any) }, b Build) String {
	s, err := Design(b)
	if err != nil {
		t.Fatalf("%+v: %v", b, err)
	}
	return s
}

func TestTouchingWrapFillsItsShell(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		core := drawSize(t, "core", 8*thou, 60*thou)
		wire := drawSize(t, "wire", 3*thou, 25*thou)
		for _, tt := range []struct {
			form   material.Form
			filled float64
		}{
			{material.Form{Section: material.Round, Size: wire}, math.Pi / 4},
			{material.Form{Section: material.Flat, Size: wire, Thickness: wire/2 + 1}, 1},
		} {
			s := mustDesign(t, steelCore(material.Form{Section: material.Round, Size: core}, bronze(tt.form)))
			inner, outer := float64(core.Metres()), float64(s.Gauge)
			shell := math.Pi / 4 * (outer*outer - inner*inner)
			if got := float64(s.Turns[0].MassPerM) / 8800 / shell; !near(got, tt.filled, 1e-12) {
				t.Fatalf("a touching %s wrap fills %v of its shell, want %v", tt.form.Section, got, tt.filled)
			}
		}
	})
}

func TestPlainStringIsItsWire(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBuild(t)
		b.Layers = nil
		s := mustDesign(t, b)
		want := float64(b.CoreDensity) * float64(b.Core.Area())
		if float64(s.MassPerM) != want || s.MassPerM != s.CorePerM || len(s.Turns) != 0 || s.Gauge != b.Core.OverCorners() {
			t.Fatalf("got %+v, want %v kg/m", s, want)
		}
	})
}

func TestMassGrowsWithTheSquareOfSize(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBuild(t)
		const k = 2
		big := b
		big.Core.Size *= k
		big.Layers = append([]Layer(nil), b.Layers...)
		for i := range big.Layers {
			big.Layers[i].Form.Size *= k
			big.Layers[i].Form.Thickness *= k
			big.Layers[i].Lay *= k
		}
		small, large := mustDesign(t, b), mustDesign(t, big)
		if !near(float64(large.MassPerM), k*k*float64(small.MassPerM), 1e-12) || !near(float64(large.Gauge), k*float64(small.Gauge), 1e-12) {
			t.Fatalf("doubled: %v kg/m and gauge %v from %v and %v", large.MassPerM, large.Gauge, small.MassPerM, small.Gauge)
		}
	})
}

func TestMoreLayTakesLessWire(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBuild(t)
		if len(b.Layers) == 0 {
			t.Skip("plain")
		}
		i := rapid.IntRange(0, len(b.Layers)-1).Draw(t, "layer")
		b.Layers[i].Lay = 3*b.Layers[i].Form.Size + drawSize(t, "lay", 0, 100*thou)
		tight := mustDesign(t, b)
		b.Layers = append([]Layer(nil), b.Layers...)
		b.Layers[i].Lay += drawSize(t, "more", 1*thou, 100*thou)
		open := mustDesign(t, b)
		if open.Turns[i].WirePerM >= tight.Turns[i].WirePerM || open.MassPerM >= tight.MassPerM {
			t.Fatalf("a lay of %v takes %v m/m, one of %v takes %v", open.Turns[i].Lay, open.Turns[i].WirePerM, tight.Turns[i].Lay, tight.Turns[i].WirePerM)
		}
		b.Layers[i].Lay = 0
		if touching := mustDesign(t, b); touching.Turns[i].WirePerM <= tight.Turns[i].WirePerM {
			t.Fatalf("touching turns take %v m/m, open ones %v", touching.Turns[i].WirePerM, tight.Turns[i].WirePerM)
		}
	})
}

// TestTurnIsAHelix: whatever the lay, the wire of one turn is the hypotenuse of the projected turn and the lay, and
// touching turns are one wire's width apart, measured across the wire.
func TestTurnIsAHelix(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBuild(t)
		for i, turn := range mustDesign(t, b).Turns {
			want := math.Hypot(float64(turn.Projected), float64(turn.Lay))
			if !near(float64(turn.TurnLength), want, 1e-12) {
				t.Fatalf("layer %d: a turn takes %v, want %v", i, turn.TurnLength, want)
			}
			apart := float64(turn.Lay) * float64(turn.Projected) / want
			if width := float64(b.Layers[i].Form.Size.Metres()); apart < width*(1-1e-12) || !turn.Open && !near(apart, width, 1e-12) {
				t.Fatalf("layer %d: turns lie %v apart, the wire is %v wide", i, apart, width)
			}
		}
	})
}

func TestWireLengthAndMassRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mu := measure.LinearDensity(rapid.Float64Range(1e-6, 1).Draw(t, "mu"))
		l := measure.Length(rapid.Float64Range(1e-3, 1e5).Draw(t, "length"))
		if got := WireLength(mu, WireMass(mu, l)); !near(float64(got), float64(l), 1e-12) {
			t.Fatalf("%v became %v", l, got)
		}
	})
}
