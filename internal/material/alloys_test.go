package material

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/measure"
)

func TestBuiltInAlloys(t *testing.T) {
	list := BuiltIn()
	if all := NewAlloys(list...); len(all.List()) != 10 {
		t.Fatalf("got %d alloys, want ten with different codes", len(all.List()))
	}
	for _, a := range list {
		if err := a.Check(); err != nil {
			t.Errorf("%s: %v", a.Code, err)
		}
		if a.Source == "" || a.Name == "" {
			t.Errorf("%s has no name or no source", a.Code)
		}
		if a.Nickel == Unsaid || a.Tarnishes == "" || a.Nickel == Yes && a.Tarnishes == Sooner {
			t.Errorf("%s: nickel %q, tarnishes %q", a.Code, a.Nickel, a.Tarnishes)
		}
		if a.Core != (a.Strength != "") || a.Core == a.Wrap {
			t.Errorf("%s: of the built-in alloys only the core has a strength table, and it is no wrap", a.Code)
		}
	}
}

func TestNickelIsAPropertyAndNoName(t *testing.T) {
	want := map[AlloyCode]bool{"nickel-plated-steel": true, "nickel": true, "nickel-plated-bronze": true, "monel-400": true}
	for _, a := range BuiltIn() {
		if (a.Nickel == Yes) != want[a.Code] {
			t.Errorf("%s: nickel %q", a.Code, a.Nickel)
		}
	}
	if own, _ := NewAlloys(BuiltIn()...).With(Alloy{Code: "CN-90-10", Name: "Copper-nickel 90/10"}).Find("CN-90-10"); own.Nickel != Unsaid || own.Tarnishes != "" {
		t.Errorf("an alloy was judged by its name: %+v", own)
	}
}

func TestFindWithoutCase(t *testing.T) {
	all := NewAlloys(BuiltIn()...)
	for _, code := range []AlloyCode{"music-wire", "MUSIC-Wire", " music-wire "} {
		if a, ok := all.Find(code); !ok || a.Code != "music-wire" {
			t.Errorf("%q: got %v %v", code, a.Code, ok)
		}
	}
	if _, ok := all.Find("unobtainium"); ok {
		t.Error("found an alloy that nobody entered")
	}
	if _, ok := (Alloys{}).Find("copper"); ok {
		t.Error("found an alloy in an empty list")
	}
}

func TestShopOverridesAnAlloy(t *testing.T) {
	before := NewAlloys(BuiltIn()...)
	after := before.With(Alloy{Code: "Music-Wire", Density: 7838, Ferromagnetic: Strong, Core: true}, Alloy{Code: "own", Density: 9000})
	if a, _ := after.Find("music-wire"); a.Density != 7838 || a.Strength != ASTMA228 || a.Code != "music-wire" {
		t.Errorf("override gave %+v", a)
	}
	if a, _ := before.Find("music-wire"); a.Density != 7850 {
		t.Error("the original list was changed")
	}
	if a, _ := after.Find("own"); a.Nickel != Unsaid {
		t.Errorf("nobody has said that there is nickel in it: %q", a.Nickel)
	}
	nickel, _ := before.With(Alloy{Code: "nickel", Name: "house wire", Density: 8890}).Find("nickel")
	if said, _ := before.With(Alloy{Code: "nickel", Nickel: No, Tarnishes: Sooner}).Find("nickel"); nickel.Nickel != Yes || nickel.Tarnishes != Later || said.Nickel != No || said.Tarnishes != Sooner {
		t.Errorf("an alloy of which nothing is said keeps what the old one says: %+v; said: %+v", nickel, said)
	}
	if len(after.List()) != 11 || len((Alloys{}).With(Alloy{Code: "own"}).List()) != 1 {
		t.Error("the shop's own alloy is not there")
	}
	if first := after.List()[0].Code; first != "bronze-80-20" {
		t.Errorf("the list is not by code: it starts with %s", first)
	}
}

func TestAlloyCheck(t *testing.T) {
	good := Alloy{Code: "own", Density: 8000, Ferromagnetic: None}
	tests := []struct {
		name  string
		spoil func(*Alloy)
		field string
	}{
		{"good", func(*Alloy) {}, ""},
		{"no code", func(a *Alloy) { a.Code = "" }, "alloy"},
		{"density in g/cm3", func(a *Alloy) { a.Density = 7.85 }, "density_kg_m3"},
		{"no number", func(a *Alloy) { a.Density = measure.Density(math.NaN()) }, "density_kg_m3"},
		{"too dense", func(a *Alloy) { a.Density = 78500 }, "density_kg_m3"},
		{"magnetism", func(a *Alloy) { a.Ferromagnetic = "maybe" }, "ferromagnetic"},
		{"nickel", func(a *Alloy) { a.Nickel = "perhaps" }, "nickel"},
		{"tarnish", func(a *Alloy) { a.Tarnishes = "never" }, "tarnishes"},
		{"strength", func(a *Alloy) { a.Strength = "A229" }, "strength"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a := good
			tt.spoil(&a)
			err := a.Check()
			var got FieldError
			if errors.As(err, &got); got.Field != tt.field || (err == nil) != (tt.field == "") {
				t.Errorf("got %v, want field %q", err, tt.field)
			}
		})
	}
}

func TestFerromagnetic(t *testing.T) {
	for m, want := range map[Magnetism]bool{Strong: true, Weak: true, Varies: false, None: false} {
		if m.Ferromagnetic() != want {
			t.Errorf("%s: got %v", m, !want)
		}
	}
}

// TestPlatedDensity: no plating is the base, nothing but plating is the plate, and anything between lies between.
func TestPlatedDensity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base := measure.Density(rapid.Float64Range(1000, 20000).Draw(t, "base"))
		plate := measure.Density(rapid.Float64Range(1000, 20000).Draw(t, "plate"))
		w := rapid.Float64Range(0, 1).Draw(t, "fraction")
		near := func(a, b measure.Density) bool { return math.Abs(float64(a/b)-1) < 1e-12 }
		if !near(PlatedDensity(base, plate, 0), base) || !near(PlatedDensity(base, plate, 1), plate) {
			t.Fatal("the ends of the mixture rule are not its parts")
		}
		got := PlatedDensity(base, plate, w)
		if got < min(base, plate)*(1-1e-12) || got > max(base, plate)*(1+1e-12) {
			t.Fatalf("%v lies outside %v and %v", got, base, plate)
		}
	})
}

func TestPlatingFractionEnds(t *testing.T) {
	if got := PlatingFraction(7872, 8908, 1e-3, 0); got != 0 {
		t.Errorf("no plating is a fraction of %v", got)
	}
	if got := PlatingFraction(7872, 8908, 1e-3, 0.5e-3); got != 1 {
		t.Errorf("nothing but plating is a fraction of %v", got)
	}
}
