package sets

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"windingroom/internal/catalog"
	"windingroom/internal/intake"
	"windingroom/internal/problem"
	"windingroom/internal/setwork"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// keepView makes the set on the bench a standing one, or changes or retires the one that it is. A lead or an owner sees it.
type keepView struct {
	Is     string // the standing set that lies on the bench unchanged; empty where there is none
	Hidden []page.Pair
	New    []newView // strings of which no recipe is known: they come first
	Code   page.Field
	Faults page.Faults
	Acts   []page.Action // change a standing set to this, or retire it
}

// newView is a string that becomes a recipe.
type newView struct {
	Wires string
	Name  page.Field
}

// newKeep makes the view for what the engine has answered.
func newKeep(b bench, parts workshop.SetParts, t setwork.TensionAnswer, f *page.Form) *keepView {
	v := &keepView{Is: b.standingCode(parts, t), Hidden: b.hidden(), Code: f.Field("code", "Its code").Required().Hinted("Letters, digits, dot, dash; a new one.")}
	v.Code.Complete = "off"
	taken := parts
	for i, s := range t.Strings {
		if s.Recipe != "" || b.first(i) < i {
			continue
		}
		name := freshName(s.Core, s.Wraps, s.NominalGaugeThou, taken)
		taken.Recipes = append(taken.Recipes[:len(taken.Recipes):len(taken.Recipes)], catalog.Recipe{Code: catalog.RecipeCode(name)})
		field := f.Field(newName(i), "Recipe for "+wiresText(s.Core, s.Wraps)).Required().Starting(name)
		v.New = append(v.New, newView{wiresText(s.Core, s.Wraps), field})
	}
	v.Faults = f.Said(v.Code)
	if v.Is != "" {
		v.Acts = []page.Action{{Text: "Retire " + v.Is, To: retirePath, Post: true, Kind: "danger", Hidden: []page.Pair{{Name: "set", Value: v.Is}},
			Confirm: "No new order can name it then. Orders that have it keep it and their strings."}}
	} else if code := b.with; code != "" && len(v.New) == 0 && standingOf(parts, code) != nil {
		v.Acts = []page.Action{{Text: "Change " + code + " to this", To: changePath, Post: true, Hidden: append(b.hidden(), page.Pair{Name: "code", Value: code}),
			Confirm: "New orders of " + code + " take these strings. Orders that have it keep theirs."}}
	}
	return v
}

func newName(i int) string { return "recipe-" + strconv.Itoa(i+1) }

// first gives the first row that is made as row i is.
func (b bench) first(i int) int {
	for k := range b.rows[:i] {
		if b.rows[k].made == b.rows[i].made {
			return k
		}
	}
	return i
}

func standingOf(parts workshop.SetParts, code string) *catalog.Set {
	for i, s := range parts.Sets {
		if strings.EqualFold(string(s.Code), code) {
			return &parts.Sets[i]
		}
	}
	return nil
}

// form spells the bench out as a set to keep.
func (b bench) form(code string, u units.Units) intake.SetForm {
	form := intake.SetForm{Set: code}
	for _, r := range b.rows[:b.used()] {
		scale := r.scale
		if scale == "" {
			scale = b.length
		}
		if size, err := u.ParseScale(scale); err == nil {
			scale = size.InchText()
		}
		form.Strings = append(form.Strings, intake.SetFormString{Recipe: r.made, Scale: scale, Pitch: r.pitch})
	}
	return form
}

// keep makes what lies on the bench a standing set.
func (p place) keep(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	b := readBench(f.Values)
	set, err := p.shop.KeepSet(r.Ctx(), b.form(f.Get("code"), r.Units()))
	if err != nil {
		if errors.Is(err, workshop.ErrExists) {
			err = problem.At("code", errors.New("is another set's already: choose another code"))
		}
		return p.refused(r, b, f, renamed(err, "set", "code"))
	}
	b.with = string(set.Code)
	r.Say(page.Done(string(set.Code) + " is a standing set now: orders can name it."))
	return page.Redirect(b.path(benchPath)), nil
}

// change gives a standing set the strings on the bench.
func (p place) change(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	parts, err := p.shop.SetParts(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	b, was := readBench(f.Values), standingOf(parts, f.Get("code"))
	set, err := p.shop.ChangeSet(r.Ctx(), b.form(f.Get("code"), r.Units()))
	if err != nil {
		return p.refused(r, b, f, renamed(err, "set", "code"))
	}
	b.with = string(set.Code)
	done := page.Done(string(set.Code) + " is changed. Orders that have it keep the strings they have.")
	if was != nil {
		done.Undo = &page.Undo{To: changePath, Hidden: spelled(*was, r.Units())}
	}
	r.Say(done)
	return page.Redirect(b.path(benchPath)), nil
}

// retire takes a set out of the standing ones.
func (p place) retire(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	was, err := p.shop.RetireSet(r.Ctx(), catalog.SetCode(f.Get("set")))
	if errors.Is(err, workshop.ErrForbidden) {
		return page.Reply{}, err
	}
	done := page.Done(string(was.Code) + " is retired: no new order names it. Orders that have it keep it.")
	done.Undo = &page.Undo{To: keepPath, Hidden: spelled(was, r.Units())}
	return r.Back(standingPath, done, err)
}

// spelled gives a set as the forms that keep and change one take it.
func spelled(s catalog.Set, u units.Units) []page.Pair {
	return append(standing(s, u).hidden("with", "pickup"), page.Pair{Name: "code", Value: string(s.Code)})
}

// makeNew makes recipes of the strings on the bench that have none, all of them or none.
func (p place) makeNew(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	parts, err := p.shop.SetParts(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	b := readBench(f.Values)
	var forms []intake.RecipeForm
	for i, row := range b.rows {
		if made := madeOf(row.made, parts); made.Core != "" && f.Values.Has(newName(i)) {
			forms = append(forms, recipeForm(f.Get(newName(i)), made.Core, made.Wraps))
		}
	}
	if _, err := p.shop.MakeRecipes(r.Ctx(), forms); err != nil {
		return p.refused(r, b, f, err)
	}
	named := b
	for i, row := range b.rows {
		if name := f.Get(newName(b.first(i))); name != "" && madeOf(row.made, parts).Core != "" {
			named = named.taking(i+1, name)
		}
	}
	r.Say(page.Done(fmt.Sprintf("%s made. Yield and minutes are those of the recipe nearest to each, until it has results.", page.Plural(len(forms), "recipe is", "recipes are"))))
	return page.Redirect(named.path(benchPath)), nil
}

// refused shows the bench again with what was refused beside its field and what was typed kept. A role's refusal stays one.
func (p place) refused(r *page.Request, b bench, f *page.Form, err error) (page.Reply, error) {
	if errors.Is(err, workshop.ErrForbidden) {
		return page.Reply{}, err
	}
	if err := f.Refuse(err); err != nil {
		return page.Reply{}, err
	}
	parts, err := p.shop.SetParts(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	v, err := p.onBench(r, b, parts, asked(url.Values{}), f)
	return page.Show(benchTemplate, v).Status(http.StatusUnprocessableEntity), err
}
