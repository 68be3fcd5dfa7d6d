package winding

import (
	"errors"
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/measure"
)

// rowByRow adds up a requirement the slow way: one String.At per row, in integers of any size.
func rowByRow(strings []String, a Allowances, recipes []Recipe, wires int, rows []Strings) []measure.Mass {
	sums := make([]*big.Int, wires)
	for i := range sums {
		sums[i] = new(big.Int)
	}
	add := func(wire int, each measure.MassEach, quantity int32) {
		sums[wire].Add(sums[wire], new(big.Int).Mul(big.NewInt(int64(each)), big.NewInt(int64(quantity))))
	}
	for _, row := range rows {
		use := strings[row.Recipe].At(row.Scale, a)
		add(recipes[row.Recipe].Wires[0], use.Core.Each, row.Quantity)
		for j, l := range use.Layers {
			add(recipes[row.Recipe].Wires[1+j], l.Each, row.Quantity)
		}
	}
	totals := make([]measure.Mass, wires)
	for i, s := range sums {
		s.Add(s, big.NewInt(500_000))
		totals[i] = measure.Mass(s.Quo(s, big.NewInt(1_000_000)).Int64())
	}
	return totals
}

func TestRequirementEqualsTheSumOfItsRows(t *testing.T) {
	const wires = 6
	rapid.Check(t, func(t *rapid.T) {
		a := drawAllowances(t)
		var strings []String
		var recipes []Recipe
		for range rapid.IntRange(1, 4).Draw(t, "recipes") {
			s := mustDesign(t, drawBuild(t))
			r := Recipe{Kernel: Compile(s, a)}
			for j := range r.Wires {
				r.Wires[j] = rapid.IntRange(0, wires-1).Draw(t, "wire")
			}
			strings, recipes = append(strings, s), append(recipes, r)
		}
		rows := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Strings {
			return Strings{
				Recipe:   int32(rapid.IntRange(0, len(recipes)-1).Draw(t, "recipe")),
				Quantity: int32(rapid.IntRange(0, math.MaxInt32).Draw(t, "quantity")),
				Scale:    drawSize(t, "scale", 0, 100*measure.Inch),
			}
		}), 0, 50).Draw(t, "rows")
		got, err := Requirement(recipes, wires, rows)
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range rowByRow(strings, a, recipes, wires, rows) {
			if got[i] != want {
				t.Fatalf("wire %d: %d mg, row by row %d mg", i, got[i], want)
			}
		}
	})
}

func TestEachIsTheMassOfAt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, a := mustDesign(t, drawBuild(t)), drawAllowances(t)
		scale := drawSize(t, "scale", 0, 100*measure.Inch)
		k, use := Compile(s, a), s.At(scale, a)
		if k.Wires() != 1+len(use.Layers) || k.Each(0, scale) != use.Core.Each {
			t.Fatalf("core: %v, want %v", k.Each(0, scale), use.Core.Each)
		}
		for i, l := range use.Layers {
			if got := k.Each(1+i, scale); got != l.Each {
				t.Fatalf("layer %d: %v, want %v", i, got, l.Each)
			}
		}
	})
}

func TestRequirementRefuses(t *testing.T) {
	plain := Recipe{Kernel: Compile(mustDesign(t, steelCore(roundWire(10))), DefaultAllowances())}
	good := Strings{Quantity: 1, Scale: 25 * measure.Inch}
	for name, spoil := range map[string]func(*Strings){
		"unknown recipe":    func(s *Strings) { s.Recipe = 1 },
		"negative recipe":   func(s *Strings) { s.Recipe = -1 },
		"negative quantity": func(s *Strings) { s.Quantity = -1 },
		"negative scale":    func(s *Strings) { s.Scale = -1 },
		"endless scale":     func(s *Strings) { s.Scale = longestScale + 1 },
	} {
		t.Run(name, func(t *testing.T) {
			row := good
			spoil(&row)
			if _, err := Requirement([]Recipe{plain}, 1, []Strings{good, row}); !errors.Is(err, ErrRow) {
				t.Errorf("got %v, want ErrRow", err)
			}
		})
	}
	for _, wire := range []int{-1, 1} {
		plain.Wires[0] = wire
		if _, err := Requirement([]Recipe{plain}, 1, nil); err == nil {
			t.Errorf("wire %d of 1 was accepted", wire)
		}
	}
}

func TestNanogramsBeyond64Bits(t *testing.T) {
	var n nanograms
	for range 4 {
		n.add(math.MaxUint32, math.MaxInt64)
	}
	if _, err := n.milligrams(); err == nil {
		t.Error("4 × 2³² × 2⁶³ ng passed for a mass")
	}
	var one nanograms
	one.add(1_000_000, 1<<42) // 2⁴² mg, past 64 bits of nanograms when doubled often enough
	for range 21 {
		one.add(1_000_000, 1<<42)
	}
	if got, err := one.milligrams(); err != nil || got != 22<<42 {
		t.Errorf("got %d, %v, want %d", got, err, int64(22)<<42)
	}
}
