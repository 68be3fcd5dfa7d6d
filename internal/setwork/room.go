// Package setwork answers the order desk about sets: at what tension each string sits, what the same set is in another alloy,
// which makeable gauges give a wanted tension, which wires give a wanted gauge, and what a set costs. It puts the shop's
// recipes, wires and spools together with material, winding and stringdesign; it reads and decides, and changes nothing.
//
// A string is held when its wire is there: for each of its wires one spool, neither a remnant nor quarantined, has enough free
// wire for one such string at its scale length. A whole set is held when its strings can be cut from the spools side by side.
package setwork

import (
	"fmt"
	"slices"
	"strings"

	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/stock"
	"windingroom/internal/winding"
)

// Facts is what the shop has, and how it works and judges.
type Facts struct {
	Alloys   material.Alloys
	Wires    []material.Wire
	Recipes  []catalog.Recipe
	Sets     []catalog.Set
	Practice catalog.Practice
	Spools   []stock.Balance
	Factors  map[catalog.RecipeCode]float64 // measured over computed mass of a recipe's wraps; one that is missing is 1

	Gauges   winding.Gauges                             // what measured strings have taught
	Measured map[catalog.RecipeCode][]winding.Measured  // gauges that count
	Masses   map[catalog.RecipeCode]winding.LearnedMass // of recipes of which finished strings were weighed
}

// Room is the facts made ready for questions. It is only read once it is made, so it may be shared.
type Room struct {
	alloys   material.Alloys
	sets     []catalog.Set
	practice catalog.Practice
	factors  map[catalog.RecipeCode]float64
	gauges   winding.Gauges
	shelf    shelf
	nodes    int // that a search may take

	wires   []stocked // in the order of the facts
	recipes []*Candidate
	byCode  map[string]*Candidate // recipes by lower-case code
}

// stocked is a wire with its alloy.
type stocked struct {
	material.Wire
	alloy material.Alloy
	at    int // index among the wires
}

// NewRoom works out every recipe. The error names a recipe or wire that cannot be, which an import would have refused.
func NewRoom(f Facts) (*Room, error) {
	r := &Room{alloys: f.Alloys, sets: f.Sets, practice: f.Practice, factors: f.Factors, gauges: f.Gauges, nodes: mostNodes, byCode: make(map[string]*Candidate, len(f.Recipes))}
	if err := f.Practice.Allowances.Check(); err != nil {
		return nil, err
	}
	at := make(map[material.WireCode]int, len(f.Wires))
	for i, w := range f.Wires {
		alloy, ok := f.Alloys.Find(w.Alloy)
		if !ok {
			return nil, fmt.Errorf("wire %s: alloy %q is not known", w.Code, w.Alloy)
		}
		at[w.Code] = i
		r.wires = append(r.wires, stocked{w, alloy, i})
	}
	for _, c := range f.Recipes {
		made, err := r.ofRecipe(c, at)
		if err != nil {
			return nil, fmt.Errorf("recipe %s: %w", c.Code, err)
		}
		made.calibrate(r.gauges, f.Measured[c.Code])
		if m, ok := f.Masses[c.Code]; ok {
			made.mass = &m
		}
		r.recipes = append(r.recipes, made)
		r.byCode[key(c.Code)] = made
	}
	r.shelf = newShelf(r.wires, f.Spools)
	return r, nil
}

func (r *Room) ofRecipe(c catalog.Recipe, at map[material.WireCode]int) (*Candidate, error) {
	layers := make([]layer, len(c.Wraps))
	core, ok := at[c.Core]
	if !ok {
		return nil, fmt.Errorf("wire %q is not one of the shop's wires", c.Core)
	}
	for i, w := range c.Wraps {
		n, ok := at[w.Wire]
		if !ok {
			return nil, fmt.Errorf("wire %q is not one of the shop's wires", w.Wire)
		}
		layers[i] = layer{&r.wires[n], w.Lay}
	}
	made, err := newCandidate(&r.wires[core], layers, c.BallEnd)
	if err != nil {
		return nil, err
	}
	made.Recipe, made.Nominal, made.Yield, made.MinutesEach = c.Code, c.Gauge, c.Yield, c.MinutesEach
	made.factor = 1
	if f, ok := r.factors[c.Code]; ok {
		made.factor = f
	}
	return made, nil
}

// recipe finds a recipe by its code, without case.
func (r *Room) recipe(code string) (*Candidate, bool) {
	c, ok := r.byCode[key(code)]
	return c, ok
}

// set finds a standing set by its code, without case.
func (r *Room) set(code string) (catalog.Set, bool) {
	i := slices.IndexFunc(r.sets, func(s catalog.Set) bool { return key(s.Code) == key(code) })
	if i < 0 {
		return catalog.Set{}, false
	}
	return r.sets[i], true
}

func key[T ~string](code T) string { return strings.ToLower(strings.TrimSpace(string(code))) }

// Sets lists the standing sets.
func (r *Room) Sets() []catalog.Set { return r.sets }
