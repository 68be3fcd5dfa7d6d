package intake

import (
	"strings"

	"windingroom/internal/catalog"
)

// RecipeForm is one recipe as a person or program writes it: every field as text, judged by the rules of recipes.csv.
type RecipeForm struct {
	Recipe, GaugeThou, Core     string
	Wraps                       []WrapForm // innermost first
	BallEnd, Yield, MinutesEach string
}

// WrapForm is one wrap of it; an empty lay winds turn against turn.
type WrapForm struct{ Wire, LayThou string }

// ReadRecipe reads a recipe with the alloys and wires that are known. The problems name their field: wraps[0].lay_thou.
func ReadRecipe(form RecipeForm, known Known) (catalog.Recipe, Problems) {
	known.Recipes, known.Orders, known.Sets = nil, nil, nil
	if len(form.Wraps) > catalog.MaxWraps {
		return catalog.Recipe{}, Problems{{Column: "wraps", Text: "must be at most 3"}}
	}
	r := newResolution(&Folder{}, known)
	t := &table{spec: specs[recipesFile], report: &report{}, width: len(specs[recipesFile].columns), line: 1}
	for c := range t.width {
		t.places = append(t.places, c)
	}
	row := &row{spec: t.spec, report: t.report, fields: make([]string, t.width)}
	t.load(row, form.fields())
	r.folder.takeRecipe(row)
	r.takeRecipes()
	var problems Problems
	told := map[string]bool{}
	for _, p := range t.report.with(r.reports[recipesFile]) {
		p.File, p.Line, p.Column = "", 0, formField(p.Column)
		p.Text, _, _ = strings.Cut(p.Text, ": it is neither in")
		if !told[p.Column] {
			told[p.Column] = true
			problems = append(problems, p)
		}
	}
	if len(problems) > 0 || len(r.facts.Recipes) != 1 {
		return catalog.Recipe{}, problems
	}
	return r.facts.Recipes[0], nil
}

// fields spells the form out as a row of recipes.csv.
func (f RecipeForm) fields() []string {
	var wraps, lays [catalog.MaxWraps]string
	for i, w := range f.Wraps {
		wraps[i], lays[i] = w.Wire, w.LayThou
	}
	row := append([]string{f.Recipe, f.GaugeThou, f.Core}, wraps[:]...)
	row = append(row, lays[:]...)
	return append(row, f.BallEnd, f.Yield, f.MinutesEach)
}

// formField names a column as a field of the form.
func formField(column string) string {
	for i := range catalog.MaxWraps {
		at := "wraps[" + string(rune('0'+i)) + "]."
		switch column {
		case wrapColumns[i]:
			return at + "wire"
		case layColumns[i]:
			return at + "lay_thou"
		}
	}
	return column
}
