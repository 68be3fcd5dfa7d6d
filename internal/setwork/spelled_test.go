package setwork

import (
	"errors"
	"testing"

	"windingroom/internal/fields"
)

// TestSpelledOut: a string spelled out as core and wraps pulls as the recipe of the same wires, and is that recipe.
func TestSpelledOut(t *testing.T) {
	room := roomFor(t, benchShop(1))
	at := func(s SetString) TensionString {
		t.Helper()
		s.ScaleIn, s.Pitch = 25.5, "A2"
		a, err := room.Tension(TensionRequest{Set: SetOf{Strings: []SetString{s}}})
		if err != nil {
			t.Fatal(err)
		}
		if !a.Held || len(a.Lacking) != 0 {
			t.Errorf("%+v: held %v, lacking %v", s, a.Held, a.Lacking)
		}
		return a.Strings[0]
	}
	recipe, same, other := at(SetString{Recipe: "N10"}), at(SetString{Core: "h15", Wraps: []string{"n10"}}), at(SetString{Core: "H15", Wraps: []string{"B10"}})
	if same.Recipe != "N10" || same.TensionN != recipe.TensionN {
		t.Errorf("spelled out: %+v, by its recipe: %+v", same, recipe)
	}
	if other.Recipe != "" || other.Core != "H15" || len(other.Wraps) != 1 || other.Alloy != "bronze-80-20" || other.GaugeThou != recipe.GaugeThou {
		t.Errorf("without a recipe: %+v", other)
	}
}

func TestSpelledOutRefuses(t *testing.T) {
	room := roomFor(t, benchShop(1))
	for _, tt := range []struct {
		name, field string
		s           SetString
	}{
		{"nothing", "set[0].recipe", SetString{}},
		{"both", "set[0].recipe", SetString{Recipe: "N10", Core: "H15"}},
		{"no such core", "set[0].core", SetString{Core: "H99"}},
		{"a wrap as core", "set[0].core", SetString{Core: "B10"}},
		{"no such wrap", "set[0].wraps[1]", SetString{Core: "H15", Wraps: []string{"N10", "N99"}}},
		{"too many wraps", "set[0].wraps", SetString{Core: "H15", Wraps: []string{"N5", "N5", "N5", "N5"}}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			tt.s.ScaleIn, tt.s.Pitch = 25.5, "A2"
			_, err := room.Tension(TensionRequest{Set: SetOf{Strings: []SetString{tt.s}}})
			var invalid fields.Invalid
			if !errors.As(err, &invalid) || len(invalid) != 1 || invalid[0].Field != tt.field {
				t.Errorf("got %v, want %s", err, tt.field)
			}
		})
	}
}

// TestLackingIsOfTheWholeSet: two strings that each could be cut, and not both.
func TestLackingIsOfTheWholeSet(t *testing.T) {
	f := benchShop(1)
	one := SetString{Recipe: "P10", ScaleIn: 25.5, Pitch: "E4"}
	room := roomFor(t, f)
	c, _ := room.recipe("P10")
	for i := range f.Spools {
		if f.Spools[i].Wire == "R10" {
			f.Spools[i].Mass = c.uses(255*254*10000, true, f.Practice.Allowances)[0].Each.Times(1) * 3 / 2
		}
	}
	a, err := roomFor(t, f).Tension(TensionRequest{Set: SetOf{Strings: []SetString{one, one}}})
	if err != nil {
		t.Fatal(err)
	}
	if a.Held || len(a.Lacking) != 1 || a.Lacking[0] != 2 || !a.Strings[1].Held {
		t.Errorf("held %v, lacking %v, the second alone %v", a.Held, a.Lacking, a.Strings[1].Held)
	}
}
