package planning

import (
	"fmt"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
)

// shelfOfRecipes is a bench that knows what it is told: a making per recipe, heavier in proportion to the scale.
type shelfOfRecipes map[catalog.RecipeCode]requirements.Making

func (s shelfOfRecipes) Making(code catalog.RecipeCode, scale measure.Size) (requirements.Making, error) {
	m, ok := s[code]
	if !ok {
		return requirements.Making{}, fmt.Errorf("recipe %q is not one of the shop's recipes", code)
	}
	uses := make([]requirements.Use, len(m.Uses))
	for i, u := range m.Uses {
		uses[i] = requirements.Use{Wire: u.Wire, Each: u.Each * measure.MassEach(scale/measure.Millimetre) / 650}
	}
	m.Uses = uses
	m.CoreCut += scale
	return m, nil
}

// making puts a recipe together; wires in two places are added up.
func making(each time.Duration, yield float64, core material.WireCode, wraps ...material.WireCode) requirements.Making {
	m := requirements.Making{Core: core, Wraps: wraps, CoreCut: 230 * measure.Millimetre, Each: each, Yield: yield}
	for i, w := range append([]material.WireCode{core}, wraps...) {
		mass := measure.MassEach(1_400_000_123 + 900_000_017*int64(i))
		found := false
		for j := range m.Uses {
			if m.Uses[j].Wire == w {
				m.Uses[j].Each += mass
				found = true
			}
		}
		if !found {
			m.Uses = append(m.Uses, requirements.Use{Wire: w, Each: mass})
		}
	}
	return m
}

// size bounds a random room.
type size struct{ machines, cores, wraps, recipes, scales, orders, quantity, spools, spoolGrams int }

var usual = size{machines: 3, cores: 3, wraps: 3, recipes: 6, scales: 3, orders: 12, quantity: 12, spools: 4, spoolGrams: 60}

const today = calendar.Date(739_000)

// drawRoom makes a random room. Machines may know what they have loaded, orders share recipes, wire is often short.
func drawRoom(t *rapid.T, s size) Input {
	in := Input{Date: today, Practice: catalog.DefaultPractice(), Bench: drawRecipes(t, s)}
	in.Practice.CompletionConfidence = rapid.SampledFrom([]float64{0.5, 0.95, 0.98}).Draw(t, "confidence")
	wires := append(wireNames("C", s.cores), wireNames("W", s.wraps)...)
	for _, w := range wires {
		end := measure.Mass(rapid.IntRange(0, 20).Draw(t, "usable end")) * measure.Gram
		for i := range rapid.IntRange(0, s.spools).Draw(t, "spools") {
			mass := measure.Mass(rapid.IntRange(1, s.spoolGrams*1000).Draw(t, "mass"))
			b := stock.Balance{UsableEnd: end, Mass: mass, Allocated: mass * measure.Mass(rapid.IntRange(0, 3).Draw(t, "allocated")) / 4}
			b.Code, b.Wire = stock.SpoolCode(fmt.Sprintf("%s-%d", w, i)), w
			b.ReceivedOn = today - calendar.Date(rapid.IntRange(0, 3).Draw(t, "age"))
			in.Spools = append(in.Spools, b)
		}
	}
	for i := range rapid.IntRange(1, s.machines).Draw(t, "machines") {
		in.Machines = append(in.Machines, drawMachine(t, s, i))
	}
	drawOrders(t, s, &in)
	return in
}

func wireNames(kind string, n int) []material.WireCode {
	var names []material.WireCode
	for i := range n {
		names = append(names, material.WireCode(fmt.Sprintf("%s%d", kind, i)))
	}
	return names
}

func drawRecipes(t *rapid.T, s size) shelfOfRecipes {
	recipes := shelfOfRecipes{}
	wraps := wireNames("W", s.wraps)
	for i := range s.recipes {
		core := rapid.SampledFrom(wireNames("C", s.cores)).Draw(t, "core")
		layers := rapid.SliceOfN(rapid.SampledFrom(wraps), 0, catalog.MaxWraps).Draw(t, "wraps")
		each := time.Duration(rapid.IntRange(1, 12).Draw(t, "each")) * 15 * time.Second
		yield := rapid.SampledFrom([]float64{1, 0.97, 0.9, 0.6}).Draw(t, "yield")
		recipes[recipeCode(i)] = making(each, yield, core, layers...)
	}
	return recipes
}

func recipeCode(i int) catalog.RecipeCode { return catalog.RecipeCode(fmt.Sprintf("R%02d", i)) }

func scaleOf(i int) measure.Size { return measure.Size(600+50*i) * measure.Millimetre }

func drawMachine(t *rapid.T, s size, i int) Machine {
	m := Machine{Machine: catalog.Machine{
		Code:    catalog.MachineCode(fmt.Sprintf("M%d", i)),
		Winds:   rapid.SampledFrom([]catalog.Winds{catalog.WindsBoth, catalog.WindsBoth, catalog.WindsPlain, catalog.WindsWound}).Draw(t, "winds"),
		Longest: rapid.SampledFrom([]measure.Size{900, 2000}).Draw(t, "longest") * measure.Millimetre,
		PerDay:  time.Duration(rapid.IntRange(0, 240).Draw(t, "per day")) * time.Minute,
	}}
	if !rapid.Bool().Draw(t, "loaded") {
		return m
	}
	place := func(kind string, n int) Place {
		w := rapid.SampledFrom(wireNames(kind, n)).Draw(t, "loaded wire")
		return Place{w, stock.SpoolCode(fmt.Sprintf("%s-%d", w, rapid.IntRange(0, s.spools).Draw(t, "loaded spool")))}
	}
	m.Loaded.Core, m.Loaded.Scale = place("C", s.cores), scaleOf(rapid.IntRange(0, s.scales-1).Draw(t, "loaded scale"))
	for l := range m.Loaded.Wraps {
		if rapid.Bool().Draw(t, "layer loaded") {
			m.Loaded.Wraps[l] = place("W", s.wraps)
		}
	}
	return m
}

func drawOrders(t *rapid.T, s size, in *Input) {
	for o := range rapid.IntRange(0, s.orders).Draw(t, "orders") {
		due := today + calendar.Date(rapid.IntRange(-1, 3).Draw(t, "due"))
		quantity := rapid.IntRange(1, s.quantity).Draw(t, "quantity")
		for p := range rapid.IntRange(1, 3).Draw(t, "positions") {
			in.Demands = append(in.Demands, requirements.Demand{
				Order: order.Code(fmt.Sprintf("O%03d", o)), DueOn: due, Line: 1, Position: p + 1,
				Recipe: recipeCode(rapid.IntRange(0, s.recipes-1).Draw(t, "recipe")),
				Scale:  scaleOf(rapid.IntRange(0, s.scales-1).Draw(t, "scale")), Strings: quantity,
			})
		}
	}
}
