package requirements

import (
	"fmt"
	"maps"
	"math"

	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/winding"
)

// longestScale bounds a scale length: beyond it a unit was mistaken, and a mass might no longer fit its integer.
const longestScale = 100_000 * measure.Millimetre

// Bench knows what each recipe takes: the shop's recipes with their wires and alloys, worked out once. It is only read
// after it is made, so it may be shared.
type Bench struct {
	practice catalog.Practice
	recipes  map[catalog.RecipeCode]known
}

// known is a recipe with its geometry.
type known struct {
	recipe catalog.Recipe
	string winding.String
	kernel winding.Kernel
	factor float64 // measured over computed mass of the wraps, or of a plain string's wire; 1 where nothing was weighed
}

// NewBench works out every recipe. The error names the recipe and the wire, alloy or field at fault.
func NewBench(alloys material.Alloys, wires []material.Wire, recipes []catalog.Recipe, p catalog.Practice) (*Bench, error) {
	b := &Bench{practice: p, recipes: make(map[catalog.RecipeCode]known, len(recipes))}
	if err := p.Allowances.Check(); err != nil {
		return nil, err
	}
	stocked := make(map[material.WireCode]material.Wire, len(wires))
	for _, w := range wires {
		stocked[w.Code] = w
	}
	for _, r := range recipes {
		build, err := buildOf(r, stocked, alloys)
		if err != nil {
			return nil, fmt.Errorf("recipe %s: %w", r.Code, err)
		}
		s, err := winding.Design(build)
		if err != nil {
			return nil, fmt.Errorf("recipe %s: %w", r.Code, err)
		}
		b.recipes[r.Code] = known{recipe: r, string: s, kernel: winding.Compile(s, p.Allowances), factor: 1}
	}
	return b, nil
}

func buildOf(r catalog.Recipe, stocked map[material.WireCode]material.Wire, alloys material.Alloys) (winding.Build, error) {
	core, density, err := wireOf(r.Core, stocked, alloys)
	build := winding.Build{Core: core, CoreDensity: density, BallEnd: r.BallEnd}
	for _, w := range r.Wraps {
		if err != nil {
			break
		}
		layer := winding.Layer{Lay: w.Lay}
		layer.Form, layer.Density, err = wireOf(w.Wire, stocked, alloys)
		build.Layers = append(build.Layers, layer)
	}
	return build, err
}

func wireOf(code material.WireCode, stocked map[material.WireCode]material.Wire, alloys material.Alloys) (material.Form, measure.Density, error) {
	w, ok := stocked[code]
	if !ok {
		return material.Form{}, 0, fmt.Errorf("wire %q is not one of the shop's wires", code)
	}
	alloy, ok := alloys.Find(w.Alloy)
	if !ok {
		return material.Form{}, 0, fmt.Errorf("wire %s: alloy %q is not known", code, w.Alloy)
	}
	return w.Form, alloy.Density, nil
}

// Recipe gives a recipe by its code.
func (b *Bench) Recipe(code catalog.RecipeCode) (catalog.Recipe, error) {
	k, err := b.find(code, 0)
	return k.recipe, err
}

// Consumption gives turns, lengths and masses of one string of a recipe at a scale length, for a batch sheet.
func (b *Bench) Consumption(code catalog.RecipeCode, scale measure.Size) (winding.Consumption, error) {
	k, err := b.find(code, scale)
	if err != nil {
		return winding.Consumption{}, err
	}
	return k.string.At(scale, b.practice.Allowances), nil
}

// String gives the geometry of a recipe: its gauge and its layers.
func (b *Bench) String(code catalog.RecipeCode) (winding.String, error) {
	k, err := b.find(code, 0)
	return k.string, err
}

// Making gives what one string of a recipe takes at a scale length.
func (b *Bench) Making(code catalog.RecipeCode, scale measure.Size) (Making, error) {
	k, err := b.find(code, scale)
	if err != nil {
		return Making{}, err
	}
	m := Making{
		Core: k.recipe.Core, Uses: k.uses(scale), CoreCut: b.practice.CoreCut(scale, k.recipe.BallEnd),
		Each: k.recipe.MinutesEach, Yield: k.recipe.Yield,
	}
	for _, w := range k.recipe.Wraps {
		m.Wraps = append(m.Wraps, w.Wire)
	}
	return m, nil
}

// Uses gives the wire one string of a recipe takes at a scale length: distinct wires, core first; a wire in two places is
// added up.
func (b *Bench) Uses(code catalog.RecipeCode, scale measure.Size) ([]Use, error) {
	k, err := b.find(code, scale)
	if err != nil {
		return nil, err
	}
	return k.uses(scale), nil
}

func (k known) uses(scale measure.Size) []Use {
	wires := k.recipe.Wires()
	uses := make([]Use, len(wires))
	for i, w := range wires {
		uses[i].Wire = w
		if w == k.recipe.Core {
			uses[i].Each += k.kernel.Each(0, scale)
			if len(k.recipe.Wraps) == 0 {
				uses[i].Each = calibrated(uses[i].Each, k.factor)
			}
		}
		for l, wrap := range k.recipe.Wraps {
			if wrap.Wire == w {
				uses[i].Each += calibrated(k.kernel.Each(1+l, scale), k.factor)
			}
		}
	}
	return uses
}

// Calibrate gives a bench on which the wraps of some recipes, and the wire of plain ones, take so many times the computed mass, as the shop has weighed. A
// factor of 1 changes nothing; Consumption and String stay as computed.
func (b *Bench) Calibrate(factors map[catalog.RecipeCode]float64) *Bench {
	c := &Bench{practice: b.practice, recipes: maps.Clone(b.recipes)}
	for code, factor := range factors {
		if k, ok := c.recipes[code]; ok {
			k.factor = factor
			c.recipes[code] = k
		}
	}
	return c
}

func calibrated(each measure.MassEach, factor float64) measure.MassEach {
	if factor == 1 {
		return each
	}
	return measure.MassEach(math.Round(float64(each) * factor))
}

func (b *Bench) find(code catalog.RecipeCode, scale measure.Size) (known, error) {
	k, ok := b.recipes[code]
	if !ok {
		return known{}, fmt.Errorf("recipe %q is not one of the shop's recipes", code)
	}
	if scale < 0 || scale > longestScale {
		return known{}, fmt.Errorf("recipe %s: scale %s in: a length above 0 and below 100 m is wanted", code, scale.InchText())
	}
	return k, nil
}
