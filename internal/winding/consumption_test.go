package winding

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/measure"
)

// TestConsumptionByHand follows the arithmetic of one string with a calculator's steps.
func TestConsumptionByHand(t *testing.T) {
	build := steelCore(roundWire(18), bronze(roundWire(14)))
	build.BallEnd = true
	s := mustDesign(t, build)
	use := s.At(25*measure.Inch, DefaultAllowances())

	const inch = 0.0254
	wound := 0.020 + 25*inch + 0.030
	core := 0.045 + 0.020 + 25*inch + 0.140 + 0.025
	projected := math.Pi * (0.018 + 0.014) * inch
	lay := 0.014 * inch / math.Sqrt(1-math.Pow(0.014*inch/projected, 2))
	turn := math.Hypot(projected, lay)
	wrap := (wound/lay + 6) * turn
	tests := []struct {
		name      string
		got, want float64
	}{
		{"wound length", float64(use.Wound), wound},
		{"core cut", float64(use.Core.Length), core},
		{"core mass", use.Core.Kg, 7850 * math.Pi / 4 * math.Pow(0.018*inch, 2) * core},
		{"turns", use.Layers[0].Turns, wound / lay},
		{"wrap length", float64(use.Layers[0].Length), wrap},
		{"wrap mass", use.Layers[0].Kg, 8800 * math.Pi / 4 * math.Pow(0.014*inch, 2) * wrap},
	}
	for _, tt := range tests {
		if !near(tt.got, tt.want, 1e-12) {
			t.Errorf("%s = %v, want %v", tt.name, tt.got, tt.want)
		}
	}
	if want := measure.MassEach(math.Round(use.Core.Kg * 1e12)); use.Core.Each != want {
		t.Errorf("core each = %v, want %v", use.Core.Each, want)
	}
}

// TestSameBitsEverywhere pins results to the last bit: a compiler that fused a multiplication into an addition, as some
// processors can, would move them, and two shops on one database could differ by a milligram.
func TestSameBitsEverywhere(t *testing.T) {
	build := steelCore(hexWire(22), bronze(roundWire(14)), Layer{Form: ribbon(40, 8), Density: 7700, Lay: 50 * thou})
	use := mustDesign(t, build).At(34*measure.Inch, DefaultAllowances())
	got := []uint64{math.Float64bits(use.Core.Kg), math.Float64bits(use.Layers[0].Kg), math.Float64bits(use.Layers[1].Kg),
		math.Float64bits(float64(use.Layers[0].Length)), math.Float64bits(float64(use.Layers[1].Length))}
	want := []uint64{0x3f623c3c883af13a, 0x3f7c24cb01351bb4, 0x3f777d4b6eab6bae, 0x401f728c8482e0d3, 0x400cdc20aa6761be}
	if !slices.Equal(got, want) {
		t.Errorf("got %#x, want %#x", got, want)
	}
}

func TestNoBallEndTakesLessCore(t *testing.T) {
	b := steelCore(roundWire(10))
	plain := mustDesign(t, b).At(25*measure.Inch, DefaultAllowances())
	b.BallEnd = true
	ball := mustDesign(t, b).At(25*measure.Inch, DefaultAllowances())
	if got := float64(ball.Core.Length - plain.Core.Length); !near(got, 0.045, 1e-9) {
		t.Errorf("a ball end takes %v m of core, want 0.045", got)
	}
	if plain.Wound != 0 || plain.Layers != nil {
		t.Errorf("a plain string has a wound length %v and layers %v", plain.Wound, plain.Layers)
	}
}

// TestMassIsLengthTimesMassPerLength: the straight line the kernel keeps agrees with length × mass per length of each wire.
func TestMassIsLengthTimesMassPerLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := mustDesign(t, drawBuild(t))
		scale, a := drawSize(t, "scale", measure.Inch, 60*measure.Inch), drawAllowances(t)
		use := s.At(scale, a)
		if got := WireMass(s.CorePerM, use.Core.Length); !near(got, use.Core.Kg, 1e-12) {
			t.Fatalf("core: %v kg, but length × mass per length is %v", use.Core.Kg, got)
		}
		for i, l := range use.Layers {
			if got := WireMass(s.Turns[i].WireMassPerM, l.Length); !near(got, l.Kg, 1e-12) {
				t.Fatalf("layer %d: %v kg, but length × mass per length is %v", i, l.Kg, got)
			}
		}
	})
}

func drawAllowances(t *rapid.T) Allowances {
	part := func(name string) measure.Size { return drawSize(t, name, 0, 200*measure.Millimetre) }
	return Allowances{BallEnd: part("ball"), Tail: part("tail"), Head: part("head"), ChuckWaste: part("chuck"),
		WrapBeyondNut: part("beyond"), WasteTurns: rapid.Float64Range(0, 50).Draw(t, "waste turns")}
}

func TestAllowancesCheck(t *testing.T) {
	if err := DefaultAllowances().Check(); err != nil {
		t.Errorf("the defaults are refused: %v", err)
	}
	for name, spoil := range map[string]func(*Allowances){
		"ball_end_allowance_mm": func(a *Allowances) { a.BallEnd = -1 },
		"tail_mm":               func(a *Allowances) { a.Tail = longestAllowance + 1 },
		"head_mm":               func(a *Allowances) { a.Head = -1 },
		"chuck_waste_mm":        func(a *Allowances) { a.ChuckWaste = -1 },
		"wrap_beyond_nut_mm":    func(a *Allowances) { a.WrapBeyondNut = -1 },
		"wrap_waste_turns":      func(a *Allowances) { a.WasteTurns = math.NaN() },
	} {
		a := DefaultAllowances()
		spoil(&a)
		p, ok := a.Check().(Problems)
		if !ok || len(p) != 1 || p[0].Field != name {
			t.Errorf("%s: got %v", name, p)
		}
	}
}
