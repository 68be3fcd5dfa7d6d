package setwork

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"windingroom/internal/catalog"
	"windingroom/internal/estimate"
	"windingroom/internal/fields"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// This file matches sets by trying everything, from the words of the documentation and with its own physics: it shares no
// code with the search but the tables of alloys and strength.

// randomShop makes a small shop whose shelf is short now and then.
func randomShop(rng *rand.Rand) Facts {
	f := Facts{Alloys: material.NewAlloys(material.BuiltIn()...), Practice: catalog.DefaultPractice()}
	f.Practice.LeastCore, f.Practice.MostCore, f.Practice.MostWrap = 0.15+0.2*rng.Float64(), 0.4+0.3*rng.Float64(), 0.6+0.8*rng.Float64()
	thou := func(low, high int) measure.Size { return measure.Size(2*low+rng.IntN(2*(high-low)+1)) * halfThou }
	for i := range 3 + rng.IntN(3) {
		form := material.Form{Section: []material.Section{material.Round, material.Hex}[rng.IntN(2)], Size: thou(9, 22)}
		f.Wires = append(f.Wires, material.Wire{Code: material.WireCode(fmt.Sprintf("C%d", i)), Alloy: "music-wire", Form: form, PricePerKg: money.Minor(rng.IntN(10_000))})
	}
	cores := len(f.Wires)
	alloys := []material.AlloyCode{"nickel", "phosphor-bronze-8"}
	for i := range 4 + rng.IntN(4) {
		form := material.Form{Section: material.Round, Size: thou(4, 18)}
		if rng.IntN(8) == 0 {
			form = material.Form{Section: material.Flat, Size: thou(20, 24), Thickness: thou(4, 8)}
		}
		f.Wires = append(f.Wires, material.Wire{Code: material.WireCode(fmt.Sprintf("W%d", i)), Alloy: alloys[i%2], Form: form, PricePerKg: money.Minor(rng.IntN(10_000))})
	}
	wrap := func() catalog.Wrap { return catalog.Wrap{Wire: f.Wires[cores+rng.IntN(len(f.Wires)-cores)].Code} }
	for i := range 4 + rng.IntN(5) {
		c := catalog.Recipe{Code: catalog.RecipeCode(fmt.Sprintf("R%d", i)), Core: f.Wires[rng.IntN(cores)].Code, Yield: 0.9 + 0.1*rng.Float64(),
			MinutesEach: time.Minute, Gauge: halfThou, BallEnd: rng.IntN(2) == 0}
		for range rng.IntN(3) {
			c.Wraps = append(c.Wraps, wrap())
		}
		f.Recipes = append(f.Recipes, c)
	}
	for i, w := range f.Wires {
		for n := range rng.IntN(3) {
			mass := measure.Mass(200 + rng.IntN(9000))
			f.Spools = append(f.Spools, stock.Balance{
				Spool: stock.Spool{Code: stock.SpoolCode(fmt.Sprintf("S%d-%d", i, n)), Wire: w.Code}, State: stock.Available, Mass: mass,
				Allocated: measure.Mass(rng.Int64N(int64(mass))), UsableEnd: measure.Mass(rng.IntN(500)), Value: money.Minor(rng.IntN(900)),
			})
		}
	}
	return f
}

// trial is one string as the brute force sees it.
type trial struct {
	name, recipe, section string
	layers                int
	tension, off, share   float64
	takes                 map[material.WireCode]float64 // mg
	held                  bool
}

type brute struct {
	Facts
	wires map[material.WireCode]material.Wire
}

// string computes tension and consumption by the formulas of Mersenne, Steiner and Pythagoras.
func (b brute) string(name, recipe string, core material.WireCode, wraps []catalog.Wrap, ballEnd bool, scaleIn, hertz float64) trial {
	density := func(w material.Wire) float64 { a, _ := b.Alloys.Find(w.Alloy); return float64(a.Density) }
	c, p := b.wires[core], b.Practice
	d := c.Form.Size.Millimetres() / 1000
	area, body := math.Pi*d*d/4, d
	if c.Form.Section == material.Hex {
		area, body = math.Sqrt(3)/2*d*d, 2*math.Sqrt(3)*d/math.Pi
	}
	scale := scaleIn * 0.0254
	cut := scale + (p.Head+p.Tail+p.ChuckWaste).Millimetres()/1000
	if ballEnd {
		cut += p.BallEnd.Millimetres() / 1000
	}
	t := trial{name: name, recipe: recipe, section: "plain", layers: len(wraps), takes: map[material.WireCode]float64{core: density(c) * area * cut * 1e6}}
	mu := density(c) * area
	for _, wrap := range wraps {
		w := b.wires[wrap.Wire]
		width, height := w.Form.Size.Millimetres()/1000, w.Form.Size.Millimetres()/1000
		section := math.Pi * width * width / 4
		if w.Form.Section == material.Flat {
			height = w.Form.Thickness.Millimetres() / 1000
			section = width * height
		}
		turn := math.Pi * (body + height)
		if width >= turn {
			t.tension = math.NaN()
			return t
		}
		lay := width / math.Sqrt(1-width/turn*width/turn)
		mu += density(w) * section * turn / width
		wound := scale + (p.Head+p.WrapBeyondNut).Millimetres()/1000
		t.takes[w.Code] += density(w) * section * (wound/lay + p.WasteTurns) * math.Hypot(turn, lay) * 1e6
		body += 2 * height
		t.section = string(w.Form.Section)
	}
	t.tension = mu * math.Pow(2*scale*hertz, 2)
	steel, _ := b.Alloys.Find(c.Alloy)
	minimum, _ := steel.MinimumTensile(c.Form)
	t.share = t.tension / area / float64(minimum)
	t.held = len(b.left(t.takes, b.free())) > 0
	return t
}

// free gives what may be drawn from each spool, in mg, by wire.
func (b brute) free() map[material.WireCode][]float64 {
	free := map[material.WireCode][]float64{}
	for _, s := range b.Spools {
		if s.Mass >= s.UsableEnd && s.Mass > s.Allocated {
			free[s.Wire] = append(free[s.Wire], float64(s.Mass-s.Allocated))
		}
	}
	return free
}

// left gives every way in which a string can be cut: what is then left.
func (b brute) left(takes map[material.WireCode]float64, free map[material.WireCode][]float64) (ways []map[material.WireCode][]float64) {
	ways = []map[material.WireCode][]float64{free}
	for wire, mg := range takes {
		var next []map[material.WireCode][]float64
		for _, way := range ways {
			for i, has := range way[wire] {
				if has >= mg {
					after := map[material.WireCode][]float64{}
					for w, spools := range way {
						after[w] = slices.Clone(spools)
					}
					after[wire][i] -= mg
					next = append(next, after)
				}
			}
		}
		ways = next
	}
	return ways
}

// candidates lists everything that may take the place of a recipe.
func (b brute) candidates(present catalog.Recipe, alloy material.AlloyCode, scaleIn, hertz float64) (all []trial) {
	free := b.free()
	stands := map[string]bool{}
	named := func(core material.WireCode, wraps []catalog.Wrap) string { return fmt.Sprint(core, wraps) }
	add := func(recipe string, core material.WireCode, wraps []catalog.Wrap, ballEnd bool) {
		if name := named(core, wraps); recipe != "" || !stands[name] {
			stands[name] = true
			if t := b.string(name, recipe, core, wraps, ballEnd, scaleIn, hertz); !math.IsNaN(t.tension) {
				all = append(all, t)
			}
		}
	}
	for _, c := range b.Recipes {
		if c.Plain() != present.Plain() {
			continue
		}
		if c.Plain() || b.wires[c.Wraps[len(c.Wraps)-1].Wire].Alloy == alloy {
			add(string(c.Code), c.Core, c.Wraps, c.BallEnd)
		}
	}
	for _, core := range b.Wires {
		if core.Alloy != "music-wire" || len(free[core.Code]) == 0 {
			continue
		}
		if present.Plain() {
			if core.Form.Section == material.Round {
				add("", core.Code, nil, present.BallEnd)
			}
			continue
		}
		insides := [][]catalog.Wrap{nil}
		if len(present.Wraps) > 1 {
			for _, c := range b.Recipes {
				if n := len(c.Wraps); n > 1 && c.Core == core.Code && !slices.ContainsFunc(c.Wraps[:n-1], func(w catalog.Wrap) bool { return len(free[w.Wire]) == 0 }) {
					insides = append(insides, c.Wraps[:n-1])
				}
			}
		}
		for _, wrap := range b.Wires {
			for _, inside := range insides {
				if n := len(inside); n > 0 && wrap.Form.Section == material.Round && wrap.Form.Size < b.height(inside[n-1].Wire) {
					continue
				}
				if wraps := append(slices.Clone(inside), catalog.Wrap{Wire: wrap.Code}); wrap.Alloy == alloy && len(free[wrap.Code]) > 0 && b.allowed(core, wraps) {
					add("", core.Code, wraps, present.BallEnd)
				}
			}
		}
	}
	return all
}

func (b brute) height(wire material.WireCode) measure.Size {
	if f := b.wires[wire].Form; f.Section == material.Flat {
		return f.Thickness
	}
	return b.wires[wire].Form.Size
}

func (b brute) allowed(core material.Wire, wraps []catalog.Wrap) bool {
	gauge := core.Form.Size.Thou()
	if core.Form.Section == material.Hex {
		gauge *= 2 / math.Sqrt(3)
	}
	for _, w := range wraps {
		height := b.wires[w.Wire].Form.Size.Thou()
		if b.wires[w.Wire].Form.Section == material.Flat {
			height = b.wires[w.Wire].Form.Thickness.Thou()
		}
		if height > b.Practice.MostWrap*core.Form.Size.Thou()+1e-7 {
			return false
		}
		gauge += 2 * height
	}
	share := core.Form.Size.Thou() / gauge
	return share >= b.Practice.LeastCore-1e-7 && share <= b.Practice.MostCore+1e-7
}

// best tries every choice and gives the best grade.
func (b brute) best(options [][]trial, present []trial, heldOnly bool) grade {
	best := grade{math.Inf(1)}
	var from func(i int, so grade, ways []map[material.WireCode][]float64)
	from = func(i int, so grade, ways []map[material.WireCode][]float64) {
		if i == len(options) {
			if so.compare(best) < 0 {
				best = so
			}
			return
		}
		from(i+1, so.plus(grade{1}), ways)
		for _, t := range options[i] {
			if t.share > b.Practice.RefuseShare {
				continue
			}
			var after []map[material.WireCode][]float64
			for _, way := range ways {
				after = append(after, b.left(t.takes, way)...)
			}
			served := len(after) > 0
			if !served {
				after = ways
			}
			if served || !heldOnly {
				from(i+1, so.plus(grade{0, one(!served), one(t.section != present[i].section || t.layers != present[i].layers), 0, t.off * t.off}), after)
			}
		}
	}
	from(0, grade{}, []map[material.WireCode][]float64{b.free()})
	return best
}

// TestMatchAgainstBruteForce: in random shops the alternatives are the nearest there are, in their order, and the recommended
// set is the best of all choices.
func TestMatchAgainstBruteForce(t *testing.T) {
	shops, alternatives, complete, scarce := 0, 0, 0, 0
	for seed := uint64(0); shops < 2000; seed++ {
		rng := rand.New(rand.NewPCG(seed, 7))
		f := randomShop(rng)
		room, err := NewRoom(f)
		if err != nil {
			continue // a ribbon too wide for its core
		}
		shops++
		b := brute{f, map[material.WireCode]material.Wire{}}
		for _, w := range f.Wires {
			b.wires[w.Code] = w
		}
		percent := 3 + 12*rng.Float64()
		q := MatchRequest{Alloy: "nickel", Tolerance: &percent, HeldOnly: rng.IntN(2) == 0}
		var options [][]trial
		var present []trial
		for range 1 + rng.IntN(3) {
			c := f.Recipes[rng.IntN(len(f.Recipes))]
			scaleIn, hertz := math.Round((24+3*rng.Float64())*100)/100, math.Round(80+250*rng.Float64())
			q.Set.Strings = append(q.Set.Strings, SetString{Recipe: string(c.Code), ScaleIn: scaleIn, Pitch: estimate.Pitch(fmt.Sprint(hertz))})
			now := b.string("", string(c.Code), c.Core, c.Wraps, c.BallEnd, scaleIn, hertz)
			var near []trial
			for _, candidate := range b.candidates(c, "nickel", scaleIn, hertz) {
				candidate.off = candidate.tension/now.tension - 1
				if math.Abs(candidate.off) <= percent/100 && (candidate.held || !q.HeldOnly) {
					near = append(near, candidate)
				}
			}
			slices.SortFunc(near, func(a, b trial) int { return cmp.Compare(math.Abs(a.off), math.Abs(b.off)) })
			options, present = append(options, near), append(present, now)
		}
		if size := count(options); size > 3000 {
			shops--
			continue
		}
		answer, err := room.Match(q)
		if err != nil {
			t.Fatalf("shop %d: %v", seed, err)
		}
		for i, p := range answer.Positions {
			alternatives += len(p.Alternatives)
			compareAlternatives(t, seed, p, options[i])
		}
		got, want := gradeOf(t, room, q), b.best(options, present, q.HeldOnly)
		for i := range got {
			if math.Abs(got[i]-want[i]) > 1e-9 {
				t.Fatalf("shop %d, held only %v: graded %v, the best is %v", seed, q.HeldOnly, got, want)
			}
		}
		complete += int(one(want[0] == 0))
		scarce += int(one(want[1] > 0))
	}
	t.Logf("%d shops, %d alternatives; %d sets are whole, %d lack wire", shops, alternatives, complete, scarce)
	if alternatives < 2000 || complete < 300 || scarce < 30 {
		t.Error("the random shops are too poor to show anything")
	}
}

func count(options [][]trial) int {
	n := 1
	for _, list := range options {
		n *= 1 + len(list)
	}
	return n
}

func compareAlternatives(t *testing.T, seed uint64, p PositionAnswer, want []trial) {
	t.Helper()
	if len(p.Alternatives) != min(len(want), mostAlternatives) {
		t.Fatalf("shop %d, position %d: %d alternatives, there are %d", seed, p.Position, len(p.Alternatives), len(want))
	}
	for i, a := range p.Alternatives {
		if math.Abs(a.TensionN-want[i].tension) > 1e-9*want[i].tension || math.Abs(a.DifferencePercent-100*want[i].off) > 1e-6 {
			t.Fatalf("shop %d, position %d: alternative %d is %+v, want %+v", seed, p.Position, i, a, want[i])
		}
		found := false
		for _, w := range want {
			wraps := make([]catalog.Wrap, len(a.Wraps))
			for j, code := range a.Wraps {
				wraps[j].Wire = material.WireCode(code)
			}
			if len(wraps) == 0 {
				wraps = nil
			}
			found = found || w.recipe == a.Recipe && w.name == fmt.Sprint(material.WireCode(a.Core), wraps) && w.held == a.Held &&
				math.Abs(w.share-*a.BreakingShare) < 1e-9
		}
		if !found {
			t.Fatalf("shop %d, position %d: nothing is like alternative %+v", seed, p.Position, a)
		}
	}
}

// gradeOf gives the grade of the choice that is recommended.
func gradeOf(t *testing.T, r *Room, q MatchRequest) grade {
	t.Helper()
	var problems fields.Invalid
	positions := r.resolve(q.Set, "set", &problems)
	pools := r.pools(r.alloy(q.Alloy, &problems), q.HeldOnly)
	var options [][]*Alternative
	for _, p := range positions {
		near, _ := pools.of(p.present).near(p, *q.Tolerance/100, q.HeldOnly)
		options = append(options, near)
	}
	c := r.recommend(positions, options, q.HeldOnly)
	if !c.exact {
		t.Error("a small search is not exact")
	}
	return c.grade
}
