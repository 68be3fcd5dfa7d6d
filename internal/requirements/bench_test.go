package requirements

import (
	"strings"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
)

var shopAlloys = material.NewAlloys(
	material.Alloy{Code: "steel", Density: 7850, Core: true},
	material.Alloy{Code: "bronze", Density: 8800, Wrap: true},
)

func shopWires() []material.Wire {
	round := func(code material.WireCode, alloy material.AlloyCode, thou float64) material.Wire {
		size, _ := measure.SizeFromThou(thou)
		return material.Wire{Code: code, Alloy: alloy, Form: material.Form{Section: material.Round, Size: size}}
	}
	return []material.Wire{round("S-10", "steel", 10), round("S-16", "steel", 16), round("B-8", "bronze", 8), round("B-12", "bronze", 12)}
}

func shopRecipes() []catalog.Recipe {
	return []catalog.Recipe{
		{Code: "P10", Core: "S-10", Yield: 1, MinutesEach: time.Minute, BallEnd: true},
		{Code: "W40", Core: "S-16", Wraps: []catalog.Wrap{{Wire: "B-12"}}, Yield: 0.95, MinutesEach: 2 * time.Minute, BallEnd: true},
		{Code: "D50", Core: "S-16", Wraps: []catalog.Wrap{{Wire: "B-8"}, {Wire: "B-8"}}, Yield: 0.8, MinutesEach: 4 * time.Minute},
	}
}

const scale = 650 * measure.Millimetre

func shopBench(t interface{ Fatal(...any) }) *Bench {
	b, err := NewBench(shopAlloys, shopWires(), shopRecipes(), catalog.DefaultPractice())
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestUsesOfAPlainString(t *testing.T) {
	uses, err := shopBench(t).Uses("P10", scale)
	// Cut 45 + 20 + 650 + 140 + 25 = 880 mm of 0.254 mm steel: 0.88 × π/4 × 0.000254² × 7850 = 350.0335 mg.
	if err != nil || len(uses) != 1 || uses[0].Wire != "S-10" || uses[0].Each/1000 != 350_033 {
		t.Errorf("got %+v, %v", uses, err)
	}
}

func TestUsesAgreeWithTheConsumption(t *testing.T) {
	b := shopBench(t)
	for _, r := range shopRecipes() {
		c, err := b.Consumption(r.Code, scale)
		if err != nil {
			t.Fatal(err)
		}
		var want, got measure.MassEach
		want = c.Core.Each
		for _, l := range c.Layers {
			want += l.Each
		}
		uses, _ := b.Uses(r.Code, scale)
		for _, u := range uses {
			got += u.Each
		}
		if got != want || uses[0].Wire != r.Core {
			t.Errorf("%s: uses %+v, want %d ng in all, core first", r.Code, uses, want)
		}
		if m, err := b.Making(r.Code, scale); err != nil || m.Plain() != r.Plain() || m.Each != r.MinutesEach || m.Yield != r.Yield || len(m.Wraps) != len(r.Wraps) {
			t.Errorf("%s: making %+v, %v", r.Code, m, err)
		}
	}
	if uses, _ := b.Uses("D50", scale); len(uses) != 2 || uses[1].Wire != "B-8" {
		t.Errorf("a wire in two layers: %+v", uses)
	}
	if m, _ := b.Making("D50", scale); m.CoreCut != 835*measure.Millimetre {
		t.Errorf("core cut without a ball end: %v", m.CoreCut.MillimetreText())
	}
}

func TestBenchRefuses(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*[]material.Wire, *[]catalog.Recipe, *catalog.Practice)
		says   string
	}{
		{"a wire nobody stocks", func(_ *[]material.Wire, r *[]catalog.Recipe, _ *catalog.Practice) { (*r)[1].Core = "S-99" }, `recipe W40: wire "S-99"`},
		{"a wrap nobody stocks", func(_ *[]material.Wire, r *[]catalog.Recipe, _ *catalog.Practice) { (*r)[1].Wraps[0].Wire = "B-99" }, `recipe W40: wire "B-99"`},
		{"an unknown alloy", func(w *[]material.Wire, _ *[]catalog.Recipe, _ *catalog.Practice) { (*w)[0].Alloy = "lead" }, `alloy "lead"`},
		{"a lay too close", func(_ *[]material.Wire, r *[]catalog.Recipe, _ *catalog.Practice) {
			(*r)[1].Wraps[0].Lay = measure.Thou
		}, "recipe W40: layers[0]"},
		{"a negative tail", func(_ *[]material.Wire, _ *[]catalog.Recipe, p *catalog.Practice) { p.Tail = -1 }, "tail_mm"},
	} {
		wires, recipes, practice := shopWires(), shopRecipes(), catalog.DefaultPractice()
		c.change(&wires, &recipes, &practice)
		if _, err := NewBench(shopAlloys, wires, recipes, practice); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: got %v, want it to say %s", c.name, err, c.says)
		}
	}
	b := shopBench(t)
	if _, err := b.Uses("X", scale); err == nil {
		t.Error("an unknown recipe is not refused")
	}
	for _, s := range []measure.Size{-1, 101_000 * measure.Millimetre} {
		if _, err := b.Making("P10", s); err == nil {
			t.Errorf("a scale of %v is not refused", s)
		}
	}
}

func TestOpen(t *testing.T) {
	line := func(n, quantity int, positions ...int) order.Line {
		l := order.Line{Number: n, Quantity: quantity}
		for _, p := range positions {
			l.Strings = append(l.Strings, order.String{Position: p, Recipe: "P10", Scale: scale})
		}
		return l
	}
	day := calendar.Date(739_000)
	orders := []order.Order{
		{Code: "B", DueOn: day, Status: order.Confirmed, Lines: []order.Line{line(1, 4, 1, 2)}},
		{Code: "A", DueOn: day + 1, Status: order.Planned, Lines: []order.Line{line(1, 3, 1), line(2, 5, 1)}},
		{Code: "C", DueOn: day - 1, Status: order.Wound, Lines: []order.Line{line(1, 9, 1)}},
		{Code: "D", DueOn: day - 1, Status: order.Draft, Lines: []order.Line{line(1, 9, 1)}},
	}
	covered := []batch.Serve{
		{Order: "A", Line: 2, Position: 1, Strings: 2}, {Order: "A", Line: 2, Position: 1, Strings: 1},
		{Order: "A", Line: 1, Position: 1, Strings: 3}, {Order: "B", Line: 1, Position: 2, Strings: 5},
	}
	got := Open(orders, covered)
	want := []Demand{{"B", day, 1, 1, "P10", scale, 4}, {"A", day + 1, 2, 1, "P10", scale, 2}}
	if len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("got %+v, want %+v", got, want)
	}
}

func TestCalibrateMovesTheWrapsAlone(t *testing.T) {
	b := shopBench(t)
	before, _ := b.Uses("W40", scale)
	c := b.Calibrate(map[catalog.RecipeCode]float64{"W40": 1.03, "D50": 1, "none": 2})
	after, _ := c.Uses("W40", scale)
	if after[0] != before[0] || after[1].Each != measure.MassEach(float64(before[1].Each)*1.03+0.5) {
		t.Errorf("from %+v to %+v", before, after)
	}
	for _, r := range []catalog.RecipeCode{"P10", "D50"} {
		was, _ := b.Uses(r, scale)
		is, _ := c.Uses(r, scale)
		for i := range was {
			if was[i] != is[i] {
				t.Errorf("%s moved from %+v to %+v", r, was, is)
			}
		}
	}
	if again, _ := b.Uses("W40", scale); again[1] != before[1] {
		t.Error("the bench itself was changed")
	}
}
