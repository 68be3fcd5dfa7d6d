package setwork

import (
	"math"
	"strings"
	"testing"

	"windingroom/internal/measure"
)

func yes() *bool { v := true; return &v }
func no() *bool  { v := false; return &v }

func newtons(n float64) *float64 { return &n }

// TestBalance: the best by closeness is the nearest string at each position, the best by cost no dearer, and the best by wire on
// hand lacks no more.
func TestBalance(t *testing.T) {
	f := benchShop(1)
	f.Spools = f.Spools[:len(f.Spools)-9] // the thick wraps are not there
	room := roomFor(t, f)
	q := BalanceRequest{Alloy: "nickel", Set: []WantedString{{25.5, "E4", yes()}, {25.5, "A2", no()}, {25.5, "E2", no()}, {25.5, "E2", nil}},
		First: newtons(72), Last: newtons(84), Tolerance: newtons(20)}
	a, err := room.Balance(q)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{72, 76, 80, 84} {
		if p := a.Positions[i]; !near(p.WantedN, want, 1e-12) || len(p.Alternatives) == 0 {
			t.Errorf("position %+v, wanted %v", p, want)
		}
	}
	by := map[string]SetAnswer{}
	for _, set := range a.Answers {
		for _, name := range strings.Split(set.By, ", ") {
			by[name] = set
		}
	}
	closest := by["closeness"]
	for i, s := range closest.Strings {
		if s.TensionN != a.Positions[i].Alternatives[0].TensionN {
			t.Errorf("string %d: %v is not the nearest, %v", i+1, s.TensionN, a.Positions[i].Alternatives[0].TensionN)
		}
	}
	if len(by) != 3 || *by["cost"].WireCost > *closest.WireCost || by["wire on hand"].OffPercent < closest.OffPercent || !by["wire on hand"].Held {
		t.Errorf("answers %+v", a.Answers)
	}
}

// A set of which a string is missing has no price; strings that do not come near at all make no set.
func TestBalanceOfWhatCannotBe(t *testing.T) {
	room := roomFor(t, benchShop(1))
	q := BalanceRequest{Alloy: "nickel", Set: []WantedString{{25.5, "A2", no()}, {25.5, "E4", yes()}}, First: newtons(75), Last: newtons(900), Tolerance: newtons(10)}
	a, err := room.Balance(q)
	if err != nil || len(a.Answers) == 0 {
		t.Fatalf("%+v, %v", a, err)
	}
	for _, set := range a.Answers {
		if set.Price != nil || set.WireCost != nil || len(set.Strings) != 1 {
			t.Errorf("half a set is priced: %+v", set.PriceAnswer)
		}
	}
	q.First = newtons(900)
	if a, err = room.Balance(q); err != nil || len(a.Answers) != 0 || a.Positions[0].Beyond == nil {
		t.Errorf("got %+v, %v", a, err)
	}
}

func TestBalanceRefuses(t *testing.T) {
	room := roomFor(t, benchShop(1))
	for text, field := range map[string]string{
		`{"set":[{"scale_in":25,"pitch":"E4"}],"alloy":"nickel"}`:                                                                           "equal_n",
		`{"set":[{"scale_in":25,"pitch":"E4"}],"alloy":"nickel","equal_n":70,"first_n":1,"last_n":2}`:                                       "equal_n",
		`{"set":[{"scale_in":25,"pitch":"E4"}],"alloy":"nickel","first_n":70}`:                                                              "first_n",
		`{"set":[{"scale_in":25,"pitch":"E4"}],"alloy":"nickel","equal_n":0}`:                                                               "equal_n",
		`{"set":[],"alloy":"nickel","equal_n":70}`:                                                                                          "set",
		`{"set":[{"scale_in":25,"pitch":"E4"}],"alloy":"nickel","reference":[]}`:                                                            "reference",
		`{"set":[{"scale_in":25,"pitch":"E4"},{"scale_in":0,"pitch":"E4"}],"alloy":"nickel","equal_n":70}`:                                  "set[1].scale_in",
		`{"set":[{"scale_in":25,"pitch":"E4"}],"alloy":"nickel","reference":[{"recipe":"P10","scale_in":25,"pitch":"E4"},{"recipe":"P1"}]}`: "reference[1].recipe",
	} {
		q, err := DecodeBalance([]byte(text))
		if err == nil {
			_, err = room.Balance(q)
		}
		if err == nil || !strings.Contains(err.Error(), field) {
			t.Errorf("%s: %v does not name %s", text, err, field)
		}
	}
}

// TestFind: every way that is found gives the gauge, its tension lies within what tolerances leave open, and a recipe is found
// as a recipe.
func TestFind(t *testing.T) {
	room := roomFor(t, benchShop(1))
	a, err := room.Find(FindRequest{GaugeThou: 37.5, Alloy: "nickel", ScaleIn: 25.5, Pitch: "A2"})
	if err != nil || len(a.Found) < 3 {
		t.Fatalf("%+v, %v", a, err)
	}
	recipes := 0
	for i, w := range a.Found {
		if math.Abs(w.GaugeThou-37.5) > 0.75 || !(*w.TensionFromN < *w.TensionN && *w.TensionN < *w.TensionToN) || *w.TensionToN/(*w.TensionFromN) > 1.15 {
			t.Errorf("way %d: %+v", i, w)
		}
		if w.Recipe != "" {
			recipes++
		}
		share := *w.BreakingShare
		if most := *w.TensionMostN; !near(most/(*w.TensionN), room.practice.CautionShare/share, 1e-9) {
			t.Errorf("way %d bears %v at %v of its strength, so at the limit not %v", i, *w.TensionN, share, most)
		}
	}
	if recipes != 1 { // N10 on H15 is 37.32 thou
		t.Errorf("%d recipes", recipes)
	}
	if plain, err := room.Find(FindRequest{GaugeThou: 17, Alloy: "music-wire"}); err != nil || len(plain.Found) != 1 || plain.Found[0].Recipe != "P17" {
		t.Errorf("plain: %+v, %v", plain, err)
	}
	for _, q := range []FindRequest{{Alloy: "nickel"}, {GaugeThou: 30, Alloy: "?"}, {GaugeThou: 30, Alloy: "nickel", Pitch: "E2"}, {GaugeThou: 30, Alloy: "nickel", ScaleIn: -1}} {
		if _, err := room.Find(q); err == nil {
			t.Errorf("%+v is answered", q)
		}
	}
}

func TestPrice(t *testing.T) {
	f := benchShop(1)
	f.Practice.LabourPerHour, f.Practice.Margin, f.Practice.Currency = 3000, 0.5, "EUR"
	room := roomFor(t, f)
	// One minute at 30.00 an hour; wire at 60.00 a kilogram.
	c, _ := room.recipe("N10")
	var mg float64
	for _, u := range c.uses(255*measure.Inch/10, true, f.Practice.Allowances) {
		mg += u.Each.Milligrams()
	}
	wire := math.Round(mg*6000/1e6) / 100
	// Core 6, wrap 4 and length 2 minutes of setup, alone for one set; a tenth of it for ten; none where it is wound among others.
	tests := []struct {
		name          string
		q             TensionRequest
		setup, labour float64
	}{
		{"one set", TensionRequest{}, 12, 6.5}, {"ten", TensionRequest{Quantity: 10}, 1.2, 1.1}, {"among others", TensionRequest{Batched: true}, 0, 0.5},
	}
	for _, tt := range tests {
		tt.q.Set = one1("N10", 25.5, "A2")
		a, err := room.Tension(tt.q)
		if err != nil {
			t.Fatal(err)
		}
		if a.LabourCost != tt.labour || a.SetupMinutes != tt.setup || a.WindingMinutes != 1 || a.WindingCost != 0.5 || math.Abs(a.WindingCost+a.SetupCost-a.LabourCost) > 1e-9 ||
			*a.WireCost != wire || math.Abs(*a.Price-2*(wire+tt.labour)) > 0.011 || a.MarginPercent != 50 || a.Currency != "EUR" {
			t.Errorf("%s: got %+v, want setup %v, labour %v, wire %v", tt.name, a.PriceAnswer, tt.setup, tt.labour, wire)
		}
	}
	if _, err := room.Tension(TensionRequest{Set: one1("N10", 25.5, "A2"), Quantity: -1}); err == nil {
		t.Error("fewer than no sets are answered")
	}
}

// Strings that follow each other pay for what differs; equal ones are one batch; plain and wound ones are on a machine each.
func TestSetupOfASet(t *testing.T) {
	room := roomFor(t, benchShop(1))
	at := func(codes ...string) float64 {
		var q TensionRequest
		for _, code := range codes {
			q.Set.Strings = append(q.Set.Strings, SetString{Recipe: code, ScaleIn: 25.5, Pitch: "E2"})
		}
		a, err := room.Tension(q)
		if err != nil {
			t.Fatal(err)
		}
		return a.SetupMinutes
	}
	for want, codes := range map[float64][]string{12: {"N10", "N10"}, 16: {"N10", "N11"}, 8: {"P10"}, 20: {"P10", "N10"}, 26: {"P10", "N10", "P17", "N10", "P17"}} {
		if got := at(codes...); got != want {
			t.Errorf("%v: %v minutes, want %v", codes, got, want)
		}
	}
}
