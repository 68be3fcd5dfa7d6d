package sets

import (
	"net/url"
	"strings"

	"windingroom/internal/intake"
	"windingroom/internal/problem"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// makeRecipe makes a recipe of wires and goes back to where it was asked.
func (p place) makeRecipe(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	made, err := p.shop.MakeRecipe(r.Ctx(), recipeForm(f.Get("recipe"), f.Get("core"), strings.Split(f.Get("wraps"), "+")))
	if !r.May(workshop.Lead) && problem.From(err).Status == 403 {
		return page.Reply{}, err
	}
	u := figures{r.Units()}
	return r.Back(within(f.Get("back")), page.Done(string(made.Code)+" is a recipe of the shop now: "+u.Size(made.Gauge).String()+". Its yield and minutes are those of the recipe nearest to it, until it has results."), err)
}

// recipeForm is a recipe of wires, its gauge, yield and minutes left to be filled in.
func recipeForm(code, core string, wraps []string) intake.RecipeForm {
	form := intake.RecipeForm{Recipe: code, Core: core}
	for _, w := range wraps {
		if w = strings.TrimSpace(w); w != "" {
			form.Wraps = append(form.Wraps, intake.WrapForm{Wire: w})
		}
	}
	return form
}

// within keeps an address inside the place: anything else is its first page.
func within(address string) string {
	u, err := url.Parse(address)
	if err != nil || u.Scheme != "" || u.Host != "" || (u.Path != standingPath && !strings.HasPrefix(u.Path, standingPath+"/")) {
		return standingPath
	}
	return u.RequestURI()
}
