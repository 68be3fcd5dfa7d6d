package intake

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/winding"
)

// gaugeTolerance is how far a stated gauge may lie from the one that core and wraps give, as a share: wire flattens and
// hexagons bite into a wrap, but more than this is another string. Common practice, no source.
const gaugeTolerance = 0.15

var (
	wrapColumns = [catalog.MaxWraps]string{"wrap_1", "wrap_2", "wrap_3"}
	layColumns  = [catalog.MaxWraps]string{"lay_1_thou", "lay_2_thou", "lay_3_thou"}
)

type recipeRow struct {
	at
	recipe catalog.Recipe
}

func (f *Folder) takeRecipe(r *row) {
	c := catalog.Recipe{
		Code:        catalog.RecipeCode(r.code("recipe")),
		Gauge:       r.thou("gauge_thou"),
		Core:        material.WireCode(r.code("core")),
		Wraps:       r.wraps(),
		BallEnd:     r.yes("ball_end"),
		Yield:       r.yieldShare("yield"),
		MinutesEach: r.minutes("minutes_each", 1, 24*time.Hour, "more than 0 and at most 1440"),
	}
	f.recipes = append(f.recipes, recipeRow{r.at(), c})
}

func (r *row) wraps() []catalog.Wrap {
	var wraps []catalog.Wrap
	for i, column := range wrapColumns {
		wire, lay := r.codeGiven(column), r.thouGiven(layColumns[i])
		switch {
		case wire != "" && len(wraps) < i && r.sound(wrapColumns[:i]...):
			r.fail(column, "is given without %s; wraps are named from the core outwards", wrapColumns[i-1])
		case wire == "" && lay != 0 && r.sound(column):
			r.fail(layColumns[i], "is given without %s", column)
		}
		if wire != "" {
			wraps = append(wraps, catalog.Wrap{Wire: material.WireCode(wire), Lay: lay})
		}
	}
	return wraps
}

// leastYield is the least share of good strings a day can be planned with: below one in a hundred a recipe wants mending.
const leastYield = 0.01

// yieldShare reads the expected share of good strings.
func (r *row) yieldShare(column string) float64 {
	return r.number(column, leastYield, 1)
}

func (r *resolution) takeRecipes() {
	for _, row := range r.folder.recipes {
		c := row.recipe
		if c.Code == "" {
			continue
		}
		it, first := claim(r, &r.recipes, row.at, "recipe", string(c.Code))
		if !first {
			continue
		}
		c.Code, c.Wraps = catalog.RecipeCode(it.code), slices.Clone(c.Wraps)
		sound := r.build(row.at, &c)
		r.recipes.put(it, c, sound)
		if sound && r.count(recipesFile, it.known, sameRecipe(c, it.value)) {
			r.facts.Recipes = append(r.facts.Recipes, c)
		}
	}
	r.recheckRecipes()
}

func sameRecipe(a, b catalog.Recipe) bool {
	return a.Code == b.Code && a.Gauge == b.Gauge && a.Core == b.Core && slices.Equal(a.Wraps, b.Wraps) &&
		a.BallEnd == b.BallEnd && a.Yield == b.Yield && a.MinutesEach == b.MinutesEach
}

// build spells the wires of a recipe as the shop does and tells what keeps it from being wound.
func (r *resolution) build(a at, c *catalog.Recipe) bool {
	sound := !a.bad
	b := winding.Build{BallEnd: c.BallEnd}
	core, alloy, ok := r.wireFor(a, "core", c.Core)
	c.Core, b.Core, b.CoreDensity = core.Code, core.Form, alloy.Density
	if ok && !alloy.Core {
		r.fail(recipesFile, a.line, "core", "%s is of %s, which is no core alloy; alloys.csv says which are", core.Code, alloy.Code)
		ok = false
	}
	sound = sound && ok
	for i := range c.Wraps {
		wire, alloy, ok := r.wireFor(a, wrapColumns[i], c.Wraps[i].Wire)
		if ok && !alloy.Wrap {
			r.fail(recipesFile, a.line, wrapColumns[i], "%s is of %s, which is no wrap alloy; alloys.csv says which are", wire.Code, alloy.Code)
			ok = false
		}
		sound = sound && ok
		c.Wraps[i].Wire = wire.Code
		b.Layers = append(b.Layers, winding.Layer{Form: wire.Form, Density: alloy.Density, Lay: c.Wraps[i].Lay})
	}
	return sound && r.windable(a, *c, b)
}

func (r *resolution) wireFor(a at, column string, code material.WireCode) (material.Wire, material.Alloy, bool) {
	wire, sound := refer(r, &r.wires, recipesFile, a.line, column, string(code))
	alloy := r.alloys.items[key(wire.value.Alloy)]
	return wire.value, alloy.value, sound && alloy.sound
}

// windable asks the geometry whether the build can be and whether it gives the stated gauge.
func (r *resolution) windable(a at, c catalog.Recipe, b winding.Build) bool {
	designed, err := winding.Design(b)
	var problems winding.Problems
	if errors.As(err, &problems) {
		for _, p := range problems {
			column, text := recipeColumn(p)
			r.fail(recipesFile, a.line, column, "%s", text)
		}
		return false
	}
	computed := float64(designed.Gauge) / 25.4e-6
	if math.Abs(c.Gauge.Thou()/computed-1) > gaugeTolerance {
		r.fail(recipesFile, a.line, "gauge_thou", "%s is more than %g %% from the %.2f that core and wraps give, in thousandths of an inch",
			c.Gauge.ThouText(), gaugeTolerance*100, computed)
		return false
	}
	return true
}

// recipeColumn turns a field of a build into the column it came from: "layers[1].lay_thou" is lay_2_thou.
func recipeColumn(p material.FieldError) (column, text string) {
	var layer int
	if n, _ := fmt.Sscanf(p.Field, "layers[%d]", &layer); n == 0 || layer >= catalog.MaxWraps {
		return "core", p.Field + " " + p.Problem
	}
	_, field, _ := strings.Cut(p.Field, ".")
	if field == "lay_thou" {
		return layColumns[layer], p.Problem
	}
	return wrapColumns[layer], field + " " + p.Problem
}
