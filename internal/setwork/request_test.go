package setwork

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"windingroom/internal/fields"
)

const matchText = `{"set": [{"recipe": "P10", "scale_in": 25.5, "pitch": "E4"}, {"recipe": "N10", "scale_in": 25.5, "pitch": 110},
	{"recipe": "nnn", "scale_in": 35, "pitch": "B0"}], "alloy": "Nickel", "tolerance_percent": 5, "held_only": true}`

func asked(room *Room, text string) (MatchAnswer, error) {
	q, err := DecodeMatch([]byte(text))
	if err != nil {
		return MatchAnswer{}, err
	}
	return room.Match(q)
}

func TestMatchRefuses(t *testing.T) {
	room := roomFor(t, benchShop(1))
	replaced := func(old, new string) string { return strings.Replace(matchText, old, new, 1) }
	tests := []struct {
		name, text string
		fields     []string
	}{
		{"nothing", ``, []string{"request"}},
		{"a list", `[]`, []string{"request", "set", "alloy"}},
		{"empty", `{}`, []string{"set", "alloy"}},
		{"no strings", `{"set": [], "alloy": "nickel"}`, []string{"set"}},
		{"no such standing set", `{"set": "harbour", "alloy": "nickel"}`, []string{"set"}},
		{"set is a number", `{"set": 6, "alloy": "nickel"}`, []string{"set"}},
		{"too many strings", `{"set": [` + strings.Repeat(`{"recipe":"P10","scale_in":25,"pitch":"E4"},`, 24) + `{}], "alloy": "nickel"}`, []string{"set"}},
		{"unknown recipe", replaced("N10", "N99"), []string{"set[1].recipe"}},
		{"unknown alloy", replaced("Nickel", "tin"), []string{"alloy"}},
		{"unreadable pitch", replaced(`"B0"`, `"H0"`), []string{"set[2].pitch"}},
		{"absurd pitch", replaced("110", "1e9"), []string{"set[1].pitch"}},
		{"pitch below hearing", replaced("110", "0.5"), []string{"set[1].pitch"}},
		{"no scale", replaced("35", "0"), []string{"set[2].scale_in"}},
		{"scale in millimetres", replaced("35", "864"), []string{"set[2].scale_in"}},
		{"tolerance below zero", replaced(`_percent": 5`, `_percent": -5`), []string{"tolerance_percent"}},
		{"a slip in a name", replaced("held_only", "heldonly"), []string{"heldonly"}},
		{"a slip in a string", replaced("scale_in", "scale"), []string{"set[0].scale", "set[0].scale_in"}},
		{"everything", `{"set": [{"recipe": "X", "scale_in": -1, "pitch": "?"}, 7], "alloy": "Y"}`,
			[]string{"set[1]"}},
		{"all of a string", `{"set": [{"recipe": "X", "scale_in": -1, "pitch": "?"}], "alloy": "Y"}`,
			[]string{"set[0].recipe", "set[0].scale_in", "set[0].pitch", "alloy"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := asked(room, tt.text)
			var invalid fields.Invalid
			if !errors.As(err, &invalid) {
				t.Fatalf("got %v", err)
			}
			for _, want := range tt.fields {
				found := false
				for _, f := range invalid {
					found = found || f.Field == want
				}
				if !found && !(tt.name == "a list" && want != "request") && !(tt.name == "a slip in a string" && want == "set[0].scale_in") {
					t.Errorf("%v does not name %s", err, want)
				}
			}
		})
	}
}

// TestMatchAtTheEdges: what an outsider may ask is answered with sense, not refused.
func TestMatchAtTheEdges(t *testing.T) {
	tests := []struct {
		name, text string
		empty      bool // the shelf
		check      func(*testing.T, MatchAnswer)
	}{
		{"in its own alloy", matchText, false, func(t *testing.T, a MatchAnswer) {
			for _, p := range a.Positions {
				if len(p.Alternatives) == 0 || p.Alternatives[0].DifferencePercent != 0 || p.Alternatives[0].Recipe == "" {
					t.Errorf("position %d: %+v", p.Position, p.Alternatives)
				}
			}
			if r := a.Recommended; r.OffPercent != 0 || !r.Exact || !r.Held || len(r.Strings) != 3 || !near(r.TotalN, *r.PresentTotalN, 1e-12) {
				t.Errorf("recommended %+v", r)
			}
		}},
		{"tolerance 0", strings.Replace(strings.Replace(matchText, "Nickel", "bronze-80-20", 1), `_percent": 5`, `_percent": 0`, 1), false, func(t *testing.T, a MatchAnswer) {
			if len(a.Positions[1].Alternatives) != 0 || a.Positions[1].Beyond == nil || len(a.Positions[0].Alternatives) != 1 {
				t.Errorf("positions %+v", a.Positions)
			}
			if s := a.Recommended.Strings[1]; !s.Kept || s.Recipe != "N10" {
				t.Errorf("the wound string is %+v", s)
			}
		}},
		{"an empty shelf", matchText, true, func(t *testing.T, a MatchAnswer) {
			for i, p := range a.Positions {
				if len(p.Alternatives) != 0 || !a.Recommended.Strings[i].Kept || a.Recommended.Strings[i].Held {
					t.Errorf("position %+v", p)
				}
			}
			if a.Recommended.Held || len(a.Recommended.Cautions) == 0 {
				t.Errorf("recommended %+v", a.Recommended)
			}
		}},
		{"an empty shelf, whatever is held", strings.Replace(matchText, "true", "false", 1), true, func(t *testing.T, a MatchAnswer) {
			if p := a.Positions[1]; len(p.Alternatives) == 0 || p.Alternatives[0].Held || p.Alternatives[0].Recipe == "" {
				t.Errorf("position %+v", p)
			}
		}},
		{"an alloy without wire", strings.Replace(matchText, "Nickel", "monel-400", 1), false, func(t *testing.T, a MatchAnswer) {
			if len(a.Positions[1].Alternatives) != 0 || !strings.Contains(fmt.Sprint(a.Recommended.Cautions), "no wire of monel-400") {
				t.Errorf("cautions %q", a.Recommended.Cautions)
			}
		}},
		{"an alloy that is no wrap", strings.Replace(matchText, "Nickel", "music-wire", 1), false, func(t *testing.T, a MatchAnswer) {
			if !strings.Contains(fmt.Sprint(a.Recommended.Cautions), "not marked as a wrap") {
				t.Errorf("cautions %q", a.Recommended.Cautions)
			}
		}},
		{"lighter plain strings, bronze over a pickup", `{"set": [{"recipe": "P17", "scale_in": 25.5, "pitch": "G3"}, {"recipe": "N10", "scale_in": 25.5, "pitch": "A2"}],
			"alloy": "bronze-80-20", "tolerance_percent": 40, "plain_lighter_percent": 40, "magnetic_pickup": true}`, false, func(t *testing.T, a MatchAnswer) {
			if p := a.Positions[0]; !near(p.WantedN, 0.6*p.TensionN, 1e-12) || p.Alternatives[0].Core == "R17" {
				t.Errorf("the plain string is %+v", p)
			}
			text := fmt.Sprint(a.Recommended.Cautions)
			for _, want := range []string{"not magnetic", "tarnishes"} {
				if !strings.Contains(text, want) {
					t.Errorf("cautions %q do not say %q", text, want)
				}
			}
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := benchShop(1)
			if tt.empty {
				f.Spools = nil
			}
			a, err := asked(roomFor(t, f), tt.text)
			if err != nil {
				t.Fatal(err)
			}
			tt.check(t, a)
		})
	}
}

// TestCautionOfAHeavierSet: more than the shop's limit is cautioned, and no less.
func TestCautionOfAHeavierSet(t *testing.T) {
	f := benchShop(1)
	room := roomFor(t, f)
	set, reference := one1("N12", 25.5, "A2"), one1("N10", 25.5, "A2")
	a, err := room.Tension(TensionRequest{Set: set, Reference: reference})
	if err != nil {
		t.Fatal(err)
	}
	added := a.Against.TotalDifferenceN
	for limit, want := range map[float64]bool{added - 0.1: true, added + 0.1: false} {
		*(*float64)(&room.practice.AddedTension) = limit
		if a, err = room.Tension(TensionRequest{Set: set, Reference: reference}); err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(fmt.Sprint(a.Cautions), "repairer"); got != want || a.Against.Word != "heavier" {
			t.Errorf("limit %v of %v: cautioned %v; %+v", limit, added, got, a.Against)
		}
	}
}

// FuzzMatch: whatever is asked, the answer is finite numbers or a list of fields, and never a panic.
func FuzzMatch(f *testing.F) {
	for _, seed := range []string{matchText, `{}`, `{"set":"x","alloy":"nickel"}`, `{"set":[{}]}`, `[1`, `{"set":[{"recipe":"P10","scale_in":1e-9,"pitch":8}],"alloy":"copper","tolerance_percent":100}`,
		`{"set":[{"recipe":"N5","scale_in":400,"pitch":"5000"}],"alloy":"nickel","plain_lighter_percent":50,"magnetic_pickup":true}`} {
		f.Add([]byte(seed))
	}
	room := roomFor(f, benchShop(1))
	f.Fuzz(func(t *testing.T, text []byte) {
		q, err := DecodeMatch(text)
		if err == nil {
			var a MatchAnswer
			if a, err = room.Match(q); err == nil {
				if _, err := json.Marshal(a); err != nil {
					t.Fatalf("%s: %v", text, err)
				}
				for _, s := range a.Recommended.Strings {
					if !(s.TensionN > 0) || math.IsInf(s.TensionN, 0) {
						t.Fatalf("%s: %+v", text, s)
					}
				}
				return
			}
		}
		var invalid fields.Invalid
		if !errors.As(err, &invalid) || len(invalid) == 0 {
			t.Fatalf("%s: %v", text, err)
		}
	})
}
