package workshop

import (
	"cmp"
	"context"
	"fmt"
	"strconv"
	"strings"

	"windingroom/internal/catalog"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// MakeRecipe adds a recipe, as the finder proposes one or as a person writes it. Gauge, ball end, yield and minutes may be left
// empty: the gauge is then the computed one to the half thousandth, and yield and minutes are those of the recipe nearest to it.
// The same recipe again changes nothing; ErrExists when another one has the code. The error is intake.Problems or
// fields.Invalid where fields are wrong. Only a lead or an owner may.
func (s *Shop) MakeRecipe(ctx context.Context, form intake.RecipeForm) (catalog.Recipe, error) {
	made, err := s.MakeRecipes(ctx, []intake.RecipeForm{form})
	if err != nil {
		return catalog.Recipe{}, err
	}
	return made[0], nil
}

// MakeRecipes adds several recipes as MakeRecipe adds one, all of them or none.
func (s *Shop) MakeRecipes(ctx context.Context, forms []intake.RecipeForm) (made []catalog.Recipe, err error) {
	p, err := allow(ctx, "adding a recipe", Lead)
	if err != nil {
		return nil, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		made = nil
		for _, form := range forms {
			one, err := s.makeRecipe(tx, p, form)
			if err != nil {
				return err
			}
			made = append(made, one)
		}
		return nil
	})
	return made, err
}

func (s *Shop) makeRecipe(tx Tx, p Person, form intake.RecipeForm) (made catalog.Recipe, err error) {
	known, err := knownToRecipes(tx)
	if err != nil {
		return made, err
	}
	if form.GaugeThou == "" || form.Yield == "" || form.MinutesEach == "" {
		if form, err = proposed(tx, form); err != nil {
			return made, err
		}
	}
	form.BallEnd = cmp.Or(form.BallEnd, "yes")
	made, problems := intake.ReadRecipe(form, known)
	if len(problems) > 0 {
		return made, problems
	}
	for _, old := range known.Recipes {
		if strings.EqualFold(string(old.Code), string(made.Code)) {
			made.Code = old.Code
			if fmt.Sprint(old) == fmt.Sprint(made) {
				return made, nil
			}
			return made, fmt.Errorf("recipe %s: %w", old.Code, ErrExists)
		}
	}
	if err := tx.SaveRecipes([]catalog.Recipe{made}); err != nil {
		return made, err
	}
	return made, tx.Record(s.audit(p, "add recipe", string(made.Code), fmt.Sprintf("%s thou on %s", made.Gauge.ThouText(), made.Core)))
}

func knownToRecipes(r Reader) (known intake.Known, err error) {
	alloys, err := allAlloys(r)
	if err != nil {
		return known, err
	}
	known.Alloys = alloys.List()
	if known.Practice, err = r.Practice(); err != nil {
		return known, err
	}
	if known.Wires, err = r.Wires(); err != nil {
		return known, err
	}
	known.Recipes, err = r.Recipes()
	return known, err
}

// proposed fills in what a person left empty. A lay that cannot be read is left for the reading of the form to tell.
func proposed(r Reader, form intake.RecipeForm) (intake.RecipeForm, error) {
	room, err := roomOf(r)
	if err != nil {
		return form, err
	}
	var wraps []catalog.Wrap
	for _, w := range form.Wraps {
		lay, err := measure.ParseThou(w.LayThou)
		if err != nil || lay < 0 {
			lay = 0
		}
		wraps = append(wraps, catalog.Wrap{Wire: material.WireCode(w.Wire), Lay: lay})
	}
	like, err := room.Propose(material.WireCode(form.Core), wraps)
	if err != nil {
		return form, err
	}
	form.GaugeThou = cmp.Or(form.GaugeThou, like.Gauge.ThouText())
	form.Yield = cmp.Or(form.Yield, strconv.FormatFloat(like.Yield, 'f', -1, 64))
	if minutes := like.MinutesEach.Minutes(); minutes > 0 {
		form.MinutesEach = cmp.Or(form.MinutesEach, strconv.FormatFloat(minutes, 'f', -1, 64))
	}
	return form, nil
}
