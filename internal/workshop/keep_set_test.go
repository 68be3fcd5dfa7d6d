package workshop_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"windingroom/internal/catalog"
	"windingroom/internal/intake"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

func duo(code string, scale string) intake.SetForm {
	return intake.SetForm{Set: code, Strings: []intake.SetFormString{{Recipe: "p-10.5", Scale: scale, Pitch: "E4"}, {Recipe: "NPS-38", Scale: scale, Pitch: "A2"}}}
}

func codes(t *testing.T, shop *workshop.Shop) (all []string) {
	t.Helper()
	parts, err := shop.SetParts(testkit.As(t.Context(), workshop.Winder))
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range parts.Sets {
		all = append(all, string(s.Code))
	}
	return all
}

func TestKeepSet(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	lead := testkit.As(t.Context(), workshop.Lead)
	kept, err := shop.KeepSet(lead, duo("Duo", "25.5"))
	if err != nil || kept.Code != "Duo" || len(kept.Positions) != 2 || kept.Positions[0].Recipe != "P-10.5" || kept.Positions[1].Scale.Inches() != 25.5 {
		t.Fatalf("kept %+v, %v", kept, err)
	}
	if again, err := shop.KeepSet(lead, duo("DUO", "25.5")); err != nil || again.Code != "Duo" {
		t.Errorf("the same again: %+v, %v", again, err)
	}
	entries, _, err := shop.Audit(testkit.As(t.Context(), workshop.Owner), workshop.AuditQuery{Subject: "Duo", Most: 9})
	if err != nil || len(entries) != 1 || entries[0].Action != "keep set" || entries[0].Detail != "P-10.5 E4 at 25.5 in, NPS-38 A2 at 25.5 in" {
		t.Errorf("recorded %+v, %v", entries, err)
	}
	if _, err := shop.KeepSet(lead, duo("duo", "26")); !errors.Is(err, workshop.ErrExists) {
		t.Errorf("another under its code: %v", err)
	}
	for name, tt := range map[string]struct {
		form intake.SetForm
		want string
	}{
		"code":    {duo("a b", "25.5"), "set"},
		"no code": {duo("", "25.5"), "set"},
		"scale":   {duo("Trio", "long"), "strings[0].scale_in"},
		"recipe":  {intake.SetForm{Set: "Trio", Strings: []intake.SetFormString{{Recipe: "MW-H-17.3C", Scale: "25.5", Pitch: "E4"}}}, "strings[0].recipe"},
		"pitch":   {intake.SetForm{Set: "Trio", Strings: []intake.SetFormString{{Recipe: "P-10.5", Scale: "25.5", Pitch: "H9"}}}, "strings[0].pitch"},
		"empty":   {intake.SetForm{Set: "Trio"}, "strings"},
	} {
		problems := intake.Problems{}
		if _, err := shop.KeepSet(lead, tt.form); !errors.As(err, &problems) || problems[0].Column != tt.want {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, role := range []workshop.Role{workshop.Winder, workshop.Bookkeeper} {
		if _, err := shop.KeepSet(testkit.As(t.Context(), role), duo("Trio", "25.5")); !errors.Is(err, workshop.ErrForbidden) {
			t.Errorf("a %s: %v", role, err)
		}
	}
	if slices.Contains(codes(t, shop), "Trio") {
		t.Error("a refused set stands")
	}
}

// TestAnOrderKeepsTheSetItHas whatever becomes of the standing one: when the order is changed, and when its file is imported again.
func TestAnOrderKeepsTheSetItHas(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	lead := testkit.As(t.Context(), workshop.Lead)
	if _, err := shop.KeepSet(lead, duo("Duo", "25.5")); err != nil {
		t.Fatal(err)
	}
	const file = "order,line,ordered_on,due_on,customer,set,quantity,position,recipe,scale_in,pitch\nO-SET,1,2026-03-02,2026-06-01,Hobb,duo,2,,,,\n"
	form := intake.OrderForm{Order: "O-SET", OrderedOn: "2026-03-02", DueOn: "2026-06-01", Customer: "Hobb", Lines: []intake.OrderFormLine{{Line: "1", Set: "duo", Quantity: "2"}}}
	if _, err := shop.AddOrder(workshop.WithoutDay(lead), form, true); err != nil {
		t.Fatal(err)
	}
	same := func(when, due string) {
		t.Helper()
		form.DueOn = due
		story, err := shop.ChangeOrder(workshop.WithoutDay(lead), "O-SET", form)
		if err != nil || story.Order.Lines[0].Set != "Duo" || story.Order.Lines[0].Strings[0].Scale.Inches() != 25.5 {
			t.Errorf("%s the order has %+v, %v", when, story.Order.Lines, err)
		}
		again := strings.ReplaceAll(file, "2026-06-01", due)
		if report, err := shop.Import(lead, fstest.MapFS{"orders.csv": {Data: []byte(again)}}, false); err != nil || report.Changes() {
			t.Errorf("%s its file changes %+v, %v", when, report.Counts, err)
		}
	}
	if _, err := shop.ChangeSet(lead, duo("DUO", "27")); err != nil {
		t.Fatal(err)
	}
	if set, err := shop.ChangeSet(lead, duo("Duo", "27")); err != nil || set.Positions[0].Scale.Inches() != 27 {
		t.Errorf("changed again: %+v, %v", set, err)
	}
	same("after a change", "2026-06-02")
	if was, err := shop.RetireSet(lead, "duo"); err != nil || was.Code != "Duo" {
		t.Fatalf("retired %+v, %v", was, err)
	}
	same("after it was retired", "2026-06-03")
	if slices.Contains(codes(t, shop), "Duo") {
		t.Error("a retired set stands still")
	}
	form.Order = "O-NEW"
	problems := intake.Problems{}
	if _, err := shop.AddOrder(workshop.WithoutDay(lead), form, false); !errors.As(err, &problems) || problems[0].Column != "lines[0].set" {
		t.Errorf("a new order names a retired set: %v", err)
	}
	if _, err := shop.RetireSet(lead, "duo"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("retired twice: %v", err)
	}
	if _, err := shop.ChangeSet(lead, duo("Duo", "25.5")); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("a retired set is changed: %v", err)
	}
	if _, err := shop.RetireSet(testkit.As(t.Context(), workshop.Winder), "harbour-6"); !errors.Is(err, workshop.ErrForbidden) {
		t.Errorf("a winder retires: %v", err)
	}
	if back, err := shop.KeepSet(lead, duo("Duo", "25.5")); err != nil || !slices.Contains(codes(t, shop), "Duo") {
		t.Errorf("kept again: %+v, %v", back, err)
	}
}

// TestMakeRecipesMakesAllOrNone.
func TestMakeRecipesMakesAllOrNone(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	lead := testkit.As(t.Context(), workshop.Lead)
	forms := []intake.RecipeForm{{Recipe: "NEW-1", Core: "MW-H-17.3C", Wraps: []intake.WrapForm{{Wire: "PB8-R-12.0"}}}, {Recipe: "NPS-46", Core: "MW-R-10.5"}}
	if _, err := shop.MakeRecipes(lead, forms); !errors.Is(err, workshop.ErrExists) {
		t.Fatalf("a code that is taken: %v", err)
	}
	parts, err := shop.SetParts(lead)
	if err != nil || slices.ContainsFunc(parts.Recipes, func(c catalog.Recipe) bool { return c.Code == "NEW-1" }) {
		t.Errorf("one of them was made, %v", err)
	}
	forms[1].Recipe = "NEW-2"
	for range 2 {
		if made, err := shop.MakeRecipes(lead, forms); err != nil || len(made) != 2 || made[1].Code != "NEW-2" {
			t.Errorf("made %+v, %v", made, err)
		}
	}
}
