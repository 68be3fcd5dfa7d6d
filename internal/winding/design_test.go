package winding

import (
	"errors"
	"math"
	"slices"
	"testing"

	"windingroom/internal/material"
	"windingroom/internal/measure"
)

const thou = measure.Thou

func roundWire(thousandths float64) material.Form {
	return material.Form{Section: material.Round, Size: measure.Size(math.Round(thousandths * float64(thou)))}
}

func hexWire(thousandths float64) material.Form {
	f := roundWire(thousandths)
	f.Section = material.Hex
	return f
}

func ribbon(width, thickness float64) material.Form {
	return material.Form{Section: material.Flat, Size: roundWire(width).Size, Thickness: roundWire(thickness).Size}
}

func steelCore(f material.Form, layers ...Layer) Build {
	return Build{Core: f, CoreDensity: 7850, Layers: layers}
}

func bronze(f material.Form) Layer { return Layer{Form: f, Density: 8800} }

func TestDesignRefuses(t *testing.T) {
	withLay := func(l Layer, lay measure.Size) Layer { l.Lay = lay; return l }
	tests := []struct {
		name   string
		build  Build
		fields []string
	}{
		{"flat core", steelCore(ribbon(45, 10)), []string{"core.section"}},
		{"no core", Build{}, []string{"core.section", "core.size_thou", "core.density_kg_m3"}},
		{"hex wrap", steelCore(hexWire(17), bronze(hexWire(11))), []string{"layers[0].section"}},
		{"negative size", steelCore(roundWire(-1)), []string{"core.size_thou"}},
		{"second wrap of no size", steelCore(hexWire(17), bronze(roundWire(5)), bronze(roundWire(0))), []string{"layers[1].size_thou"}},
		{"ribbon without thickness", steelCore(hexWire(17), bronze(ribbon(40, 0))), []string{"layers[0].thickness_thou"}},
		{"weightless wrap", steelCore(hexWire(17), Layer{Form: roundWire(5)}), []string{"layers[0].density_kg_m3"}},
		{"endless density", Build{Core: roundWire(10), CoreDensity: measure.Density(math.Inf(1))}, []string{"core.density_kg_m3"}},
		{"four layers", steelCore(hexWire(17), bronze(roundWire(5)), bronze(roundWire(5)), bronze(roundWire(5)), bronze(roundWire(5))), []string{"layers"}},
		{"lay of the wire's own width", steelCore(roundWire(18), withLay(bronze(roundWire(14)), 14*thou)), []string{"layers[0].lay_thou"}},
		{"negative lay", steelCore(roundWire(18), withLay(bronze(roundWire(14)), -1)), []string{"layers[0].lay_thou"}},
		{"both lays too close", steelCore(roundWire(18), withLay(bronze(roundWire(14)), 14*thou), withLay(bronze(roundWire(20)), 20*thou)),
			[]string{"layers[0].lay_thou", "layers[1].lay_thou"}},
		{"ribbon wider than a turn", steelCore(roundWire(10), bronze(ribbon(60, 5))), []string{"layers[0].size_thou"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Design(tt.build)
			if !errors.Is(err, ErrGeometry) {
				t.Fatalf("got %v, want an ErrGeometry", err)
			}
			var problems Problems
			errors.As(err, &problems)
			var got []string
			for _, p := range problems {
				got = append(got, p.Field)
			}
			if !slices.Equal(got, tt.fields) {
				t.Errorf("fields at fault are %v, want %v: %v", got, tt.fields, err)
			}
		})
	}
}

func TestGaugeIsOverTheCorners(t *testing.T) {
	tests := []struct {
		name  string
		build Build
		want  float64 // thou
	}{
		{"plain round", steelCore(roundWire(10)), 10},
		{"round and wrap", steelCore(roundWire(18), bronze(roundWire(14))), 46},
		{"hex and wrap", steelCore(hexWire(17), bronze(roundWire(11.5))), 17*2/math.Sqrt(3) + 23},
		{"two wraps and a ribbon", steelCore(roundWire(20), bronze(roundWire(5)), bronze(roundWire(6)), bronze(ribbon(40, 8))), 20 + 10 + 12 + 16},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, err := Design(tt.build)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(s.Gauge.Thou()-tt.want) > 1e-9 {
				t.Errorf("gauge is %v thou, want %v", s.Gauge.Thou(), tt.want)
			}
			if n := len(s.Turns); n > 0 && s.Turns[n-1].DiameterAfter != s.Gauge {
				t.Errorf("diameter after the last layer is %v, gauge %v", s.Turns[n-1].DiameterAfter, s.Gauge)
			}
		})
	}
}

// TestWrittenLayIsStillTouching: a touching lay that was printed and read back is neither refused nor called open.
func TestWrittenLayIsStillTouching(t *testing.T) {
	build := steelCore(hexWire(17), bronze(roundWire(11.5)))
	touching, err := Design(build)
	if err != nil {
		t.Fatal(err)
	}
	nearest := measure.Size(math.Round(float64(touching.Turns[0].Lay) * 1e9))
	for _, tt := range []struct {
		lay     measure.Size
		open    bool
		refused bool
	}{{nearest, false, false}, {nearest + 1, true, false}, {nearest - 1, false, true}} {
		build.Layers[0].Lay = tt.lay
		s, err := Design(build)
		if (err != nil) != tt.refused {
			t.Fatalf("lay %d nm: %v", tt.lay, err)
		}
		if err == nil && s.Turns[0].Open != tt.open {
			t.Errorf("lay %d nm: open is %v", tt.lay, s.Turns[0].Open)
		}
	}
}

// TestRefusedLayNamesOneThatWorks: winding with the lay the message names is accepted.
func TestRefusedLayNamesOneThatWorks(t *testing.T) {
	touching, err := Design(steelCore(roundWire(18), bronze(roundWire(14))))
	if err != nil {
		t.Fatal(err)
	}
	lay, err := measure.SizeFromThou(roundUpThou(float64(touching.Turns[0].Touching)))
	if err != nil {
		t.Fatal(err)
	}
	l := bronze(roundWire(14))
	l.Lay = lay
	if _, err := Design(steelCore(roundWire(18), l)); err != nil {
		t.Errorf("the named lay %v was refused: %v", lay, err)
	}
}
