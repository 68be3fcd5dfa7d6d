package intake

import (
	"slices"

	"windingroom/internal/catalog"
)

// recheckRecipes tells where a changed wire or alloy would leave a recipe of the shop, which the folder does not name, that
// cannot be wound any more.
func (r *resolution) recheckRecipes() {
	for _, c := range r.known.Recipes {
		if r.recipes.items[key(c.Code)].line > 0 {
			continue
		}
		file, line, column, changed := r.changedUnder(c)
		if !changed {
			continue
		}
		trial := *r
		trial.reports = [fileCount]report{}
		c.Wraps = slices.Clone(c.Wraps)
		if trial.build(at{}, &c); len(trial.reports[recipesFile].list) > 0 {
			p := trial.reports[recipesFile].list[0]
			r.fail(file, line, column, "with this change recipe %s of the shop could not be wound: %s: %s", c.Code, p.Column, p.Text)
		}
	}
}

// changedUnder finds the row that changes a wire, or the alloy of a wire, of a recipe.
func (r *resolution) changedUnder(c catalog.Recipe) (file fileID, line int, column string, changed bool) {
	for _, code := range c.Wires() {
		wire := r.wires.items[key(code)]
		if wire.other {
			return wiresFile, wire.line, "wire", true
		}
		if alloy := r.alloys.items[key(wire.value.Alloy)]; alloy.other {
			return alloysFile, alloy.line, "alloy", true
		}
	}
	return 0, 0, "", false
}
