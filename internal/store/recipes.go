package store

import (
	"time"

	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
)

type recipeRow struct {
	Code        catalog.RecipeCode
	Gauge       measure.Size
	Core        material.WireCode
	BallEnd     bool
	Yield       float64
	MinutesEach time.Duration
}

func (recipeRow) TableName() string { return "recipes" }

type wrapRow struct {
	Recipe       catalog.RecipeCode
	Layer        int
	catalog.Wrap `gorm:"embedded"`
}

// Recipes gives the recipes with their wraps.
func (r *reader) Recipes() ([]catalog.Recipe, error) {
	rows, err := list[recipeRow](r, "SELECT * FROM recipes ORDER BY code")
	if err != nil {
		return nil, err
	}
	wraps, err := list[wrapRow](r, "SELECT * FROM recipe_wraps ORDER BY recipe, layer")
	if err != nil {
		return nil, err
	}
	recipes := make([]catalog.Recipe, len(rows))
	for i, row := range rows {
		recipes[i] = catalog.Recipe{Code: row.Code, Gauge: row.Gauge, Core: row.Core, BallEnd: row.BallEnd,
			Yield: row.Yield, MinutesEach: row.MinutesEach}
		for len(wraps) > 0 && wraps[0].Recipe == row.Code {
			recipes[i].Wraps = append(recipes[i].Wraps, wraps[0].Wrap)
			wraps = wraps[1:]
		}
	}
	return recipes, nil
}

// SaveRecipes adds recipes or replaces those of the same codes, wraps and all.
func (t *tx) SaveRecipes(recipes []catalog.Recipe) error {
	rows := make([]recipeRow, len(recipes))
	for i, r := range recipes {
		rows[i] = recipeRow{Code: r.Code, Gauge: r.Gauge, Core: r.Core, BallEnd: r.BallEnd, Yield: r.Yield, MinutesEach: r.MinutesEach}
	}
	if err := upsert(t, rows, "gauge", "core", "ball_end", "yield", "minutes_each"); err != nil {
		return err
	}
	as, err := kept(t, "recipes", recipes, func(r catalog.Recipe) catalog.RecipeCode { return r.Code })
	if err != nil {
		return err
	}
	var wraps []wrapRow
	for _, r := range recipes {
		code := as[r.Code]
		if _, err := t.exec("DELETE FROM recipe_wraps WHERE recipe = ?", code); err != nil {
			return err
		}
		for i, w := range r.Wraps {
			wraps = append(wraps, wrapRow{code, i + 1, w})
		}
	}
	return insert(t, "recipe_wraps", "recipe, layer, wire, lay", wraps, func(w wrapRow) []any {
		return []any{w.Recipe, w.Layer, w.Wire, w.Lay}
	})
}
