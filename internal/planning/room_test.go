package planning

import (
	"fmt"
	"math/rand/v2"
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

var usual = size{machines: 3, cores: 3, wraps: 3, recipes: 6, scales: 3, orders: 12, quantity: 12, spools: 6, spoolGrams: 150}

const today = calendar.Date(739_000)

// drawRoom makes a random room. Machines may know what they have loaded, orders share recipes, wire is often short.
//
// The rolls come from a seed that rapid draws: rapid's own numbers favour small ones, and most rooms would be empty.
func drawRoom(t *rapid.T, s size) Input {
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "room"), 0))
	s.orders, s.machines = rapid.IntRange(0, s.orders).Draw(t, "orders"), rapid.IntRange(1, s.machines).Draw(t, "machines")
	return rollRoom(r, s)
}

func between(r *rand.Rand, least, most int) int { return least + r.IntN(most-least+1) }

func pick[T any](r *rand.Rand, list []T) T { return list[r.IntN(len(list))] }

func rollRoom(r *rand.Rand, s size) Input {
	in := Input{Date: today, Practice: catalog.DefaultPractice(), Bench: drawRecipes(r, s)}
	in.Practice.CompletionConfidence = pick(r, []float64{0.5, 0.95, 0.98})
	wires := append(wireNames("C", s.cores), wireNames("W", s.wraps)...)
	for _, w := range wires {
		end := measure.Mass(between(r, 0, 20)) * measure.Gram
		for i := range between(r, 0, s.spools) {
			mass := measure.Mass(between(r, 1, s.spoolGrams*1000))
			b := stock.Balance{UsableEnd: end, Mass: mass, Allocated: mass * measure.Mass(between(r, 0, 3)) / 4}
			b.Code, b.Wire = stock.SpoolCode(fmt.Sprintf("%s-%d", w, i)), w
			b.ReceivedOn = today - calendar.Date(between(r, 0, 3))
			in.Spools = append(in.Spools, b)
		}
	}
	for i := range s.machines {
		in.Machines = append(in.Machines, drawMachine(r, s, i))
	}
	drawOrders(r, s, &in)
	return in
}

func wireNames(kind string, n int) []material.WireCode {
	var names []material.WireCode
	for i := range n {
		names = append(names, material.WireCode(fmt.Sprintf("%s%d", kind, i)))
	}
	return names
}

func drawRecipes(r *rand.Rand, s size) shelfOfRecipes {
	recipes := shelfOfRecipes{}
	wraps := wireNames("W", s.wraps)
	for i := range s.recipes {
		core := pick(r, wireNames("C", s.cores))
		var layers []material.WireCode
		for range between(r, 0, 5) % (1 + catalog.MaxWraps) { // few layers are more usual than many
			layers = append(layers, pick(r, wraps))
		}
		each := time.Duration(between(r, 1, 12)) * 15 * time.Second
		yield := pick(r, []float64{1, 0.97, 0.9, 0.6})
		recipes[recipeCode(i)] = making(each, yield, core, layers...)
	}
	return recipes
}

func recipeCode(i int) catalog.RecipeCode { return catalog.RecipeCode(fmt.Sprintf("R%02d", i)) }

func scaleOf(i int) measure.Size { return measure.Size(600+50*i) * measure.Millimetre }

func drawMachine(r *rand.Rand, s size, i int) Machine {
	m := Machine{Machine: catalog.Machine{
		Code:    catalog.MachineCode(fmt.Sprintf("M%d", i)),
		Winds:   pick(r, []catalog.Winds{catalog.WindsBoth, catalog.WindsBoth, catalog.WindsPlain, catalog.WindsWound}),
		Longest: pick(r, []measure.Size{900, 2000, 2000}) * measure.Millimetre,
		PerDay:  time.Duration(between(r, 0, 300)) * time.Minute,
	}}
	if between(r, 0, 1) == 0 {
		return m
	}
	place := func(kind string, n int) Place {
		w := pick(r, wireNames(kind, n))
		return Place{w, stock.SpoolCode(fmt.Sprintf("%s-%d", w, between(r, 0, s.spools)))}
	}
	m.Loaded.Core, m.Loaded.Scale = place("C", s.cores), scaleOf(between(r, 0, s.scales-1))
	for l := range m.Loaded.Wraps {
		if between(r, 0, 1) == 1 {
			m.Loaded.Wraps[l] = place("W", s.wraps)
		}
	}
	return m
}

func drawOrders(r *rand.Rand, s size, in *Input) {
	for o := range s.orders {
		due := today + calendar.Date(between(r, -1, 3))
		quantity := between(r, 1, s.quantity)
		for p := range between(r, 1, 3) {
			in.Demands = append(in.Demands, requirements.Demand{
				Order: order.Code(fmt.Sprintf("O%03d", o)), DueOn: due, Line: 1, Position: p + 1,
				Recipe: recipeCode(between(r, 0, s.recipes-1)),
				Scale:  scaleOf(between(r, 0, s.scales-1)), Strings: quantity,
			})
		}
	}
}
