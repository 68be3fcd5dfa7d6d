package setwork

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/catalog"
	"windingroom/internal/estimate"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// bench makes a shop with a hex and a round core, wraps of two alloys in steps of one thou, and as much wire as is wanted.
func benchShop(factor measure.Size) Facts {
	f := Facts{Alloys: material.NewAlloys(material.BuiltIn()...), Practice: catalog.DefaultPractice()}
	add := func(code string, alloy material.AlloyCode, section material.Section, thou measure.Size) {
		f.Wires = append(f.Wires, material.Wire{Code: material.WireCode(code), Alloy: alloy, Form: material.Form{Section: section, Size: factor * thou * measure.Thou}, PricePerKg: 5000})
		f.Spools = append(f.Spools, stock.Balance{Spool: stock.Spool{Code: stock.SpoolCode("S-" + code), Wire: material.WireCode(code)}, State: stock.Available,
			Mass: measure.Kilogram, Value: 6000})
	}
	for _, thou := range []measure.Size{10, 12, 13, 15, 17} {
		add(fmt.Sprintf("R%d", thou), "music-wire", material.Round, thou)
		add(fmt.Sprintf("H%d", thou), "music-wire", material.Hex, thou)
	}
	for thou := measure.Size(5); thou <= 17; thou++ {
		add(fmt.Sprintf("N%d", thou), "nickel", material.Round, thou)
		add(fmt.Sprintf("B%d", thou), "bronze-80-20", material.Round, thou)
	}
	recipe := func(code, core string, wraps ...material.WireCode) {
		c := catalog.Recipe{Code: catalog.RecipeCode(code), Core: material.WireCode(core), Gauge: measure.Thou, BallEnd: true, Yield: 1, MinutesEach: time.Minute}
		for _, w := range wraps {
			c.Wraps = append(c.Wraps, catalog.Wrap{Wire: w})
		}
		f.Recipes = append(f.Recipes, c)
	}
	recipe("P10", "R10")
	recipe("P17", "R17")
	for thou := 5; thou <= 16; thou++ {
		recipe(fmt.Sprintf("N%d", thou), "H15", material.WireCode(fmt.Sprintf("N%d", thou)))
	}
	recipe("NN", "H17", "N8", "N14")
	recipe("NNN", "H17", "N8", "N12", "N16")
	return f
}

func roomFor(t testing.TB, f Facts) *Room {
	t.Helper()
	r, err := NewRoom(f)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func one1(recipe string, scaleIn float64, pitch estimate.Pitch) SetOf {
	return SetOf{Strings: []SetString{{Recipe: recipe, ScaleIn: scaleIn, Pitch: pitch}}, given: true}
}

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol*math.Max(math.Abs(a), math.Abs(b)) }

// TestTensionGrowsWithTheSquareOfEverySize: all wires k times as thick pull k² times as much, and a longer scale pulls more.
func TestTensionGrowsWithTheSquareOfEverySize(t *testing.T) {
	rooms := map[measure.Size]*Room{}
	for k := measure.Size(1); k <= 4; k++ {
		rooms[k] = roomFor(t, benchShop(k))
	}
	rapid.Check(t, func(t *rapid.T) {
		recipe := rapid.SampledFrom(benchShop(1).Recipes).Draw(t, "recipe")
		scale := rapid.Float64Range(10, 40).Draw(t, "scale")
		pitch := estimate.Pitch(fmt.Sprintf("%.3f", rapid.Float64Range(20, 600).Draw(t, "hertz")))
		k := measure.Size(rapid.IntRange(2, 4).Draw(t, "k"))
		pull := func(r *Room, scale float64) float64 {
			a, err := r.Tension(TensionRequest{Set: one1(string(recipe.Code), scale, pitch)})
			if err != nil {
				t.Fatal(err)
			}
			return a.TotalN
		}
		if got, want := pull(rooms[k], scale), float64(k*k)*pull(rooms[1], scale); !near(got, want, 1e-9) {
			t.Fatalf("%d times the size pulls %v, want %v", k, got, want)
		}
		if pull(rooms[1], scale*1.01) <= pull(rooms[1], scale) {
			t.Fatal("a longer scale does not pull more")
		}
	})
}

// TestMatchThereAndBack: a string matched in another alloy and back comes at least as near as the string it was.
func TestMatchThereAndBack(t *testing.T) {
	facts := benchShop(1)
	for _, w := range facts.Wires { // every pair of the other alloy becomes a recipe, so that it can be asked about
		if w.Alloy == "bronze-80-20" {
			facts.Recipes = append(facts.Recipes, catalog.Recipe{Code: catalog.RecipeCode(w.Code), Core: "H15", Wraps: []catalog.Wrap{{Wire: w.Code}}, BallEnd: true, Yield: 1})
		}
	}
	room := roomFor(t, facts)
	percent := 30.0
	rapid.Check(t, func(t *rapid.T) {
		from := fmt.Sprintf("N%d", rapid.IntRange(5, 16).Draw(t, "wrap"))
		scale, pitch := rapid.Float64Range(20, 35).Draw(t, "scale"), estimate.Pitch(rapid.SampledFrom([]string{"E2", "A2", "D3", "B1"}).Draw(t, "pitch"))
		there, err := room.Match(MatchRequest{Set: one1(from, scale, pitch), Alloy: "bronze-80-20", Tolerance: &percent})
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range there.Positions[0].Alternatives {
			if a.Recipe == "" {
				continue
			}
			back, err := room.Match(MatchRequest{Set: one1(a.Recipe, scale, pitch), Alloy: "nickel", Tolerance: &percent})
			if err != nil {
				t.Fatal(err)
			}
			inverse := math.Abs(100 * (1/(1+a.DifferencePercent/100) - 1))
			if inverse > percent {
				continue
			}
			first := back.Positions[0].Alternatives[0]
			if math.Abs(first.DifferencePercent) > inverse+1e-9 {
				t.Fatalf("%s to %s is %v %%, and back no nearer than %v %%", from, a.Recipe, a.DifferencePercent, first.DifferencePercent)
			}
			total := back.Positions[0].TensionN * (1 + first.DifferencePercent/100)
			if !near(total, first.TensionN, 1e-9) {
				t.Fatalf("difference and tension disagree: %+v", first)
			}
		}
	})
}

// TestStiffness holds the inharmonicity of strings against values of others.
func TestStiffness(t *testing.T) {
	f := benchShop(1)
	f.Wires = append(f.Wires,
		material.Wire{Code: "H18", Alloy: "music-wire", Form: material.Form{Section: material.Hex, Size: 18 * measure.Thou}},
		material.Wire{Code: "R18", Alloy: "music-wire", Form: material.Form{Section: material.Round, Size: 18 * measure.Thou}},
		material.Wire{Code: "NPS14", Alloy: "nickel-plated-steel", Form: material.Form{Section: material.Round, Size: 14 * measure.Thou}})
	for _, core := range []material.WireCode{"H18", "R18"} {
		f.Recipes = append(f.Recipes, catalog.Recipe{Code: catalog.RecipeCode("W" + core), Core: core, Wraps: []catalog.Wrap{{Wire: "NPS14"}}, Yield: 1})
	}
	room := roomFor(t, f)
	tests := []struct {
		recipe string
		pitch  estimate.Pitch
		b      float64
		cents  float64
	}{ // Fletcher's formula, modulus of Shigley, computed independently with the plated wire at 7945.93 kg/m3 (here 7946); 25.5 in
		{"P10", "E4", 1.34811e-5, 1.1662},
		{"P17", "G3", 1.10197e-4, 9.4866},
		{"WR18", "E2", 1.29490e-4, 11.1370},
		{"WH18", "E2", 1.48817e-4, 12.7869},
	}
	for _, tt := range tests {
		a, err := room.Tension(TensionRequest{Set: one1(tt.recipe, 25.5, tt.pitch)})
		if err != nil {
			t.Fatal(err)
		}
		s := a.Strings[0]
		if !near(*s.Inharmonicity, tt.b, 2e-5) || !near(*s.TenthPartialCents, tt.cents, 1e-4) {
			t.Errorf("%s: B %v and %v cents, want %v and %v", tt.recipe, *s.Inharmonicity, *s.TenthPartialCents, tt.b, tt.cents)
		}
	}
	// Young, J. Acoust. Soc. Am. 24, 267 (1952), abstract read in a copy: 3.4e13 n² d²/(f₀² l⁴) cents, in cm and Hz, for plain
	// steel wire; his modulus lies 1.5 % below.
	a, err := room.Tension(TensionRequest{Set: one1("P10", 25.5, "E4")})
	if err != nil {
		t.Fatal(err)
	}
	want := 3.4e13 * 100 * math.Pow(0.0254, 2) / (math.Pow(a.Strings[0].FrequencyHz, 2) * math.Pow(25.5*2.54, 4))
	if got := *a.Strings[0].TenthPartialCents; !near(got, want, 0.02) {
		t.Errorf("the tenth partial is %v cents sharp; Young gives %v", got, want)
	}
}
