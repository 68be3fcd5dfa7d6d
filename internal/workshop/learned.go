package workshop

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
	"windingroom/internal/winding"
)

// Learned is what the shop's results say of a recipe.
type Learned struct {
	Recipe  catalog.RecipeCode
	Stated  float64       // the yield it was entered with
	Own     batch.Results // strings so far
	Family  batch.Results // of the other recipes of its family, as if they had this one's stated yield
	Yield   batch.Yield   // what plans count on
	Members int           // recipes in the family, this one included

	Factor     winding.Factor // measured over computed mass of its wraps: plans count on it
	Questioned string         // why what was weighed is not believed; empty where it is
}

// Learned tells what the results say of a recipe; ErrNotFound when there is none of that code. Everyone in the shop may see it.
func (s *Shop) Learned(ctx context.Context, code catalog.RecipeCode) (Learned, error) {
	if _, err := allow(ctx, "seeing recipes", Roles()...); err != nil {
		return Learned{}, err
	}
	var found Learned
	err := s.Store.Read(ctx, func(r Reader) error {
		recipes, err := r.Recipes()
		if err != nil {
			return err
		}
		wires, err := r.Wires()
		if err != nil {
			return err
		}
		all, err := learn(r, recipes, wires)
		if err != nil {
			return err
		}
		if err := learnFactors(r, recipes, wires, all); err != nil {
			return err
		}
		for _, c := range recipes {
			if strings.EqualFold(string(c.Code), string(code)) {
				found = all[c.Code]
				return nil
			}
		}
		return fmt.Errorf("recipe %s: %w", code, ErrNotFound)
	})
	return found, err
}

// leastYield is the smallest yield that plans count on, whatever the results: below it something else is wrong, and one bad
// batch must not keep the day from being planned.
const leastYield = 0.05

// learn estimates the yield of every recipe. A family is the recipes with as many layers of the same alloy outside, or plain
// ones of the same alloy. A recipe without results in its family keeps its stated yield, bit for bit.
func learn(r Reader, recipes []catalog.Recipe, wires []material.Wire) (map[catalog.RecipeCode]Learned, error) {
	counts, err := r.RecipeResults()
	if err != nil {
		return nil, err
	}
	family := familyOf(wires)
	members := map[string][]catalog.Recipe{}
	for _, c := range recipes {
		members[family(c)] = append(members[family(c)], c)
	}
	all := make(map[catalog.RecipeCode]Learned, len(recipes))
	for _, c := range recipes {
		kin := members[family(c)]
		l := Learned{Recipe: c.Code, Stated: c.Yield, Own: counts[c.Code], Members: len(kin)}
		for _, sibling := range kin {
			if sibling.Code != c.Code {
				theirs := counts[sibling.Code].AsIf(sibling.Yield, c.Yield)
				l.Family = batch.Results{Good: l.Family.Good + theirs.Good, Scrapped: l.Family.Scrapped + theirs.Scrapped}
			}
		}
		if l.Yield, err = batch.LearnYield(c.Yield, l.Own, l.Family); err != nil {
			return nil, fmt.Errorf("recipe %s: %w", c.Code, err)
		}
		l.Yield.Mean = max(l.Yield.Mean, min(c.Yield, leastYield))
		all[c.Code] = l
	}
	return all, nil
}

// familyOf tells the family of a recipe.
func familyOf(wires []material.Wire) func(catalog.Recipe) string {
	alloys := make(map[material.WireCode]material.AlloyCode, len(wires))
	for _, w := range wires {
		alloys[w.Code] = w.Alloy
	}
	return func(c catalog.Recipe) string {
		outside := c.Core
		if n := len(c.Wraps); n > 0 {
			outside = c.Wraps[n-1].Wire
		}
		return fmt.Sprintf("%d %s", len(c.Wraps), alloys[outside])
	}
}

// learnFactors estimates the wire factor of every recipe from what was weighed of it (weighingsOf): its own
// drawn towards its family's. Where nothing was weighed it is 1, and wire counts as computed.
func learnFactors(r Reader, recipes []catalog.Recipe, wires []material.Wire, all map[catalog.RecipeCode]Learned) error {
	weighings, err := weighingsOf(r, recipes, wires)
	if err != nil {
		return err
	}
	family, own := familyOf(wires), map[string][]winding.Factor{}
	for _, c := range recipes {
		if f, err := winding.Calibrate(weighings[c.Code]); err == nil {
			own[family(c)] = append(own[family(c)], f)
		}
	}
	for _, c := range recipes {
		l := all[c.Code]
		l.Factor, err = batch.LearnFactor(weighings[c.Code], winding.FamilyOf(own[family(c)]))
		if err != nil && !errors.Is(err, winding.ErrQuestioned) {
			return fmt.Errorf("recipe %s: %w", c.Code, err)
		}
		if err != nil {
			l.Questioned = err.Error()
		}
		all[c.Code] = l
	}
	return nil
}

// weighingsOf gives what the wraps of each recipe really took, beside what was computed for them: of spools that were weighed after
// batches had drawn on them, and of finished strings.
func weighingsOf(r Reader, recipes []catalog.Recipe, wires []material.Wire) (map[catalog.RecipeCode][]winding.Weighing, error) {
	draws, err := r.WeighedDraws()
	if err != nil {
		return nil, err
	}
	calibrations, err := r.Calibrations()
	if err != nil || len(draws)+len(calibrations) == 0 {
		return nil, err
	}
	b, err := computedBench(r)
	if err != nil {
		return nil, err
	}
	of := map[catalog.RecipeCode][]winding.Weighing{}
	for _, d := range draws {
		uses, err := b.Uses(d.Recipe, d.Scale)
		if err != nil {
			return nil, err
		}
		for i, u := range uses {
			if i > 0 && u.Wire == d.Wire && u.Each > 0 && d.Drawn > d.Share { // the first is the core, which is cut to length
				mass := u.Each.Milligrams() * float64(d.Strings)
				of[d.Recipe] = append(of[d.Recipe], batch.Weighed(d.Drawn, mass, stock.Share{Mass: d.Share}, stock.Scale{Resolution: b.practice.ScaleResolution}))
			}
		}
	}
	for _, c := range standing(calibrations) {
		f, ok := b.finished(c)
		if s, err := b.String(c.Recipe); ok && err == nil {
			of[c.Recipe] = append(of[c.Recipe], f.Weighing(s, f.Each))
		}
	}
	return of, nil
}

// calibrate makes a bench count with the wire factors that the shop has learned by weighing.
func calibrate(r Reader, bench *requirements.Bench, recipes []catalog.Recipe, wires []material.Wire) (*requirements.Bench, error) {
	all := map[catalog.RecipeCode]Learned{}
	if err := learnFactors(r, recipes, wires, all); err != nil {
		return nil, err
	}
	factors := make(map[catalog.RecipeCode]float64, len(all))
	for code, l := range all {
		factors[code] = l.Factor.Value
	}
	return bench.Calibrate(factors), nil
}

// learnedOf gives what was learned of some recipes; those without any result in their family are left out.
func learnedOf(r Reader, codes []catalog.RecipeCode) ([]Learned, error) {
	counts, err := r.RecipeResults()
	if err != nil || len(counts) == 0 {
		return nil, err
	}
	recipes, err := r.Recipes()
	if err != nil {
		return nil, err
	}
	wires, err := r.Wires()
	if err != nil {
		return nil, err
	}
	all, err := learn(r, recipes, wires)
	if err == nil {
		err = learnFactors(r, recipes, wires, all)
	}
	if err != nil {
		return nil, err
	}
	var list []Learned
	for _, code := range codes {
		if l, ok := all[code]; ok && l.Own.Strings()+l.Family.Strings() > 0 {
			list = append(list, l)
		}
	}
	return list, nil
}
