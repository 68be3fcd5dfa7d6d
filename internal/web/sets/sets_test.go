package sets_test

import (
	"io/fs"
	"net/url"
	"strings"
	"testing"
	"testing/fstest"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/units"
	"windingroom/internal/web"
	"windingroom/internal/workshop"
	"windingroom/testdata/scenario"
)

// laid is the address of a bench: recipes or wires with pitches, all of 25.5 in.
func laid(path string, more url.Values, rows ...string) string {
	v := url.Values{"length": {"25.5"}}
	for i := 0; i < len(rows); i += 2 {
		v.Add("string", rows[i])
		v.Add("pitch", rows[i+1])
		v.Add("scale", "")
	}
	for name, values := range more {
		v[name] = values
	}
	return path + "?" + v.Encode()
}

func TestNoStandingSets(t *testing.T) {
	v := visit.Open(t, testkit.Shop(t)).As(t, workshop.Winder)
	v.Get("/sets").Wants(t, 200, []string{"No standing set yet", "To the bench"}, nil)
	v.Get("/sets/bench").Wants(t, 200, []string{"What set is it to be?"}, []string{`id="strings"`})
	v.Get("/sets/match").Wants(t, 200, []string{"There is no set on the bench"}, nil)
	v.Get("/sets/bench?set=nothing").Wants(t, 404, []string{"Set nothing: not found"}, nil)
}

func TestStandingSets(t *testing.T) {
	site := visit.Open(t, testkit.ScenarioShop(t))
	site.As(t, workshop.Lead).Get("/sets").Wants(t, 200, []string{"standing sets can be made from wire on hand", "harbour-6", "E4 B3 G3 D3 A2 E2", "Suggested price", "EUR", "All 12 standing sets"}, nil)
	v := site.As(t, workshop.Winder)
	v.Get("/sets").Wants(t, 200, []string{"harbour-6"}, []string{"EUR", "Suggested price"})
	v.Get("/sets?wire=no").Wants(t, 200, []string{"Nothing fits this filter"}, []string{">on hand</span>"})
	v.Get("/sets/bench?set=HARBOUR-6").Wants(t, 200, []string{`value="P-10.5"`, `value="E4"`, `value="25.5"`, "as much as harbour-6", `id="beside"`, "Keep it to compare",
		`href="/new-order?l0-line=1&amp;l0-quantity=1&amp;l0-set=harbour-6"`}, []string{"EUR", "Make it recipe"})
}

// TestWithoutWire: a shop that has recipes and sets and no spool.
func TestWithoutWire(t *testing.T) {
	files := fstest.MapFS{}
	for _, name := range []string{"alloys.csv", "suppliers.csv", "wires.csv", "recipes.csv", "sets.csv", "practice.csv"} {
		text, err := fs.ReadFile(scenario.Files, name)
		if err != nil {
			t.Fatal(err)
		}
		files[name] = &fstest.MapFile{Data: text}
	}
	shop := testkit.Shop(t)
	if _, err := shop.Import(testkit.As(t.Context(), workshop.Owner), files, false); err != nil {
		t.Fatal(err)
	}
	v := visit.Open(t, shop).As(t, workshop.Lead)
	v.Get("/sets").Wants(t, 200, []string{"No standing set can be made from wire on hand", "for string 1, 2, 3, 4, 5, 6", "lacking"}, []string{">on hand</span>"})
	v.Get("/sets/bench?set=kiln-6").Wants(t, 200, []string{"The shelf lacks wire for string 1, 2, 3, 4, 5, 6", "counted at its list price", "Order this set"}, []string{">on hand</span>"})
	v.Get(laid("/sets/match", url.Values{"alloy": {"nickel"}, "held": {"yes"}}, "NPS-38", "A2")).Wants(t, 200, []string{"stays NPS-38", "The shop has no wire for it"}, nil)
}

func TestBenchSpelledOut(t *testing.T) {
	site := visit.Open(t, testkit.ScenarioShop(t))
	lead, winder := site.As(t, workshop.Lead), site.As(t, workshop.Winder)
	made := laid("/sets/bench", url.Values{"with": {"harbour-6"}, "pickup": {"yes"}}, "p-10.5", "E4", "MW-H-17.3C + PB8-R-12.0", "A2", "", "")
	lead.Get(made).Wants(t, 200, []string{"lighter than harbour-6", "Make it recipe PB8-", `name="core" value="MW-H-17.3C"`, `name="wraps" value="PB8-R-12.0"`, "has no recipe yet", "not magnetic",
		"Suggested price", "EUR"}, []string{"Order this set"})
	winder.Get(made).Wants(t, 200, []string{"lighter than harbour-6", "has no recipe yet"}, []string{"Make it recipe", "EUR"})

	lead.Get(laid("/sets/bench", nil, "P-10.5", "H9", "", "B3", "X-1", "G3", "<b>", "")).Wants(t, 200, []string{"Not computed yet", "Pitch is needed", "Is needed: a recipe, or core &#43; wraps"}, []string{"<b>", `id="strings"`})
	lead.Get(laid("/sets/bench", nil, "P-10.5", "H9", "X-1", "G3", "MW-R-10.5 + NOPE", "E4")).Wants(t, 200,
		[]string{"Pitch must be a note such as E4", "&#34;X-1&#34; is not a recipe of this shop", "&#34;NOPE&#34; is not a wire of this shop", `value="H9"`}, []string{`id="strings"`})
	lead.Get(laid("/sets/bench", url.Values{"length": {"long"}}, "P-10.5", "E4")).Wants(t, 200, []string{"Scale is needed, or one for all strings"}, nil)
	lead.Get(laid("/sets/bench", url.Values{"with": {"nothing"}}, "P-10.5", "E4")).Wants(t, 200, []string{"not a standing set of this shop"}, []string{`id="strings"`})
	for _, with := range []string{"@", "a@b@c@d", strings.Repeat("P-10.5@E4@25.5;", 40)} {
		lead.Get(laid("/sets/bench", url.Values{"with": {with}}, "P-10.5", "E4")).Wants(t, 200, []string{"cannot be read"}, []string{`id="strings"`})
	}
	lead.Get(laid("/sets/bench", url.Values{"with": {"P-11.5@E4@25.5"}}, "P-10.5", "E4")).Wants(t, 200, []string{"lighter than the set that was kept by", "the set that was kept</option>"}, nil)
	lead.Get(laid("/sets/bench", url.Values{"with": {"P-9@E4@25.5"}}, "NI-35R", "C3")).Wants(t, 200, []string{"heavier than the set that was kept by", "let the instrument&#39;s maker or a repairer judge it", "nickel may sensitise skin"}, nil)
	v := laid("/sets/bench", nil, "P-10.5", "E4")
	v = strings.Replace(v, "scale=", "scale=30", 1)
	lead.Get(v).Wants(t, 200, []string{"break", `value="30"`, "l0-s0-scale=30"}, nil)
}

func TestStepsOfTheBench(t *testing.T) {
	v := visit.Open(t, testkit.ScenarioShop(t)).As(t, workshop.Lead)
	for do, want := range map[string]string{"down": "pitch=D%234&pitch=A%233", "up": "pitch=F4&pitch=C4", "more": "string=P-10.5&string=P-13.5&string=&string=&string=&string=&string=", "less": "string=P-10.5"} {
		p := v.Get(laid("/sets/bench", url.Values{"do": {do}}, "P-10.5", "E4", "P-13.5", "B3"))
		if p.Status != 303 || !strings.Contains(p.To(), want) || strings.Contains(p.To(), "do=") {
			t.Errorf("%s: %d to %s", do, p.Status, p.To())
		}
	}
	var rows []string
	for range 12 {
		rows = append(rows, "P-10.5", "E4")
	}
	if p := v.Get(laid("/sets/bench", url.Values{"do": {"more"}}, rows...)); strings.Count(p.To(), "string=") != 12 {
		t.Errorf("to %s", p.To())
	}
	v.Get(laid("/sets/bench", nil, rows...)).Wants(t, 200, []string{`id="string-12"`}, []string{"One string more"})
}

func TestMatch(t *testing.T) {
	v := visit.Open(t, testkit.ScenarioShop(t)).As(t, workshop.Lead)
	set := []string{"P-10.5", "E4", "NPS-38", "A2"}
	v.Get(laid("/sets/match", nil, set...)).Wants(t, 200, []string{"This set in another alloy", `name="string" value="NPS-38"`}, []string{`id="recommended"`})
	v.Get(laid("/sets/match", url.Values{"alloy": {"nickel"}, "tolerance": {"8"}, "held": {"yes"}, "pickup": {"yes"}, "lighter": {"3"}}, set...)).Wants(t, 200,
		[]string{"In nickel, ", "Recommended set in nickel", "Put this set on the bench", "Take this one", "with=P-10.5%40E4%4025.5%3BNPS-38%40A2%4025.5", "pickup=yes"}, []string{"Nothing was kept yet"})
	v.Get(laid("/sets/match", url.Values{"alloy": {"nickel"}, "tolerance": {"much"}, "lighter": {"60"}}, set...)).Wants(t, 200, []string{`id="f-tolerance-wrong"`, `value="much"`}, []string{`id="recommended"`})
	v.Get(laid("/sets/match", url.Values{"alloy": {"nickel"}, "lighter": {"60"}}, set...)).Wants(t, 200, []string{"must be from 0 to 50", `id="f-lighter-wrong"`}, nil)
	v.Get(laid("/sets/match", url.Values{"alloy": {"tin"}}, set...)).Wants(t, 200, []string{"is not an alloy of this shop"}, nil)
	v.Get(laid("/sets/match", url.Values{"alloy": {"nickel"}}, "P-10.5", "")).Wants(t, 200, []string{"is not whole yet"}, nil)
}

func TestBalance(t *testing.T) {
	v := visit.Open(t, testkit.ScenarioShop(t), web.Options{Units: units.Units{Metric: true, Pull: units.KilogramsForce}}).As(t, workshop.Winder)
	mm := url.Values{"length": {"648"}}
	ask := func(more url.Values) visit.Page {
		for name, value := range mm {
			more[name] = value
		}
		return v.Get(laid("/sets/balance", more, "P-10.5", "E4", "NPS-38", "A2"))
	}
	ask(url.Values{}).Wants(t, 200, []string{"How should each string pull?", ">kgf<", "The mean of the present set."}, []string{`id="whole-1"`})
	ask(url.Values{"alloy": {"nickel"}, "equal": {"7.5"}}).Wants(t, 200, []string{"can pull as wanted", "Best by closeness", "7.50"}, []string{"EUR"})
	ask(url.Values{"alloy": {"nickel"}, "first": {"16 lbf"}, "last": {"80 N"}}).Wants(t, 200, []string{"Best by closeness"}, nil)
	ask(url.Values{"alloy": {"nickel"}, "equal": {"7.5"}, "first": {"7"}}).Wants(t, 200, []string{"say one: the same on each"}, []string{`id="whole-1"`})
	ask(url.Values{"alloy": {"nickel"}, "equal": {"lots"}}).Wants(t, 200, []string{"is not a tension such as 75"}, nil)
	ask(url.Values{"alloy": {"nickel"}, "first": {"7"}}).Wants(t, 200, []string{"is given together with last"}, nil)
	ask(url.Values{"alloy": {"nickel"}, "like": {"harbour-6"}}).Wants(t, 200, []string{"must have as many strings as the set: 2"}, nil)
	heavier := laid("/sets/bench", url.Values{"length": {"648"}, "with": {"harbour-6"}}, "P-13.5", "E4", "P-17", "B3", "NPS-26.5", "G3", "NPS-38", "D3", "NPS-46", "A2", "NPS-46", "E2")
	v.Get(heavier).Wants(t, 200, []string{"This set pulls ", " kgf more than the one it replaces"}, []string{" lbf", " N more"})
}

func TestFindAndMakeARecipe(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	site := visit.Open(t, shop)
	lead, winder := site.As(t, workshop.Lead), site.As(t, workshop.Winder)
	ask := url.Values{"gauge": {"41"}, "alloy": {"phosphor-bronze-8"}, "within": {"1"}, "note": {"A2"}, "at": {"25.5"}, "row": {"2"}}
	address := laid("/sets/find", ask, "P-10.5", "E4", "NPS-38", "A2")
	lead.Get(address).Wants(t, 200, []string{"ways for 41.0 thou in phosphor-bronze-8", "no recipe yet", "Take this one", "For string 2 of the set", "by the wires&#39; tolerance", "Make it a recipe"}, []string{"EUR"})
	winder.Get(address).Wants(t, 200, []string{"Take this one"}, []string{"Make it a recipe"})
	lead.Get("/sets/find?gauge=thick&alloy=").Wants(t, 200, []string{`id="f-gauge-wrong"`, `value="thick"`}, []string{`id="found"`})
	lead.Get("/sets/find?gauge=41&alloy=tin").Wants(t, 200, []string{"is not an alloy of this shop", `id="f-alloy-wrong"`}, nil)
	lead.Get("/sets/find?gauge=41&alloy=nickel&row=7").Wants(t, 200, nil, []string{"For string 7", "Take this one"})

	form := url.Values{"recipe": {"PB8-41X"}, "core": {"MW-H-17.3C"}, "wraps": {"PB8-R-12.0"}, "back": {"/sets/bench?string=PB8-41X&pitch=A2&scale=25.5"}}
	winder.Post("/sets/recipes", form).Wants(t, 403, []string{"needs the role lead or owner"}, nil)
	if p := lead.Post("/sets/recipes", form); p.Status != 303 || p.To() != form.Get("back") {
		t.Fatalf("made: %d to %q", p.Status, p.To())
	}
	lead.Get(form.Get("back")).Wants(t, 200, []string{"PB8-41X is a recipe of the shop now", "Order this set", "MW-H-17.3C &#43; PB8-R-12.0"}, []string{"Make it recipe"})
	for _, back := range []string{"https://elsewhere.example/sets", "//elsewhere.example/sets/", "/sets\\..", "/people", "javascript:alert(1)", "%zz"} {
		form.Set("back", back)
		if p := lead.Post("/sets/recipes", form); p.To() != "/sets" {
			t.Errorf("back to %q goes to %q", back, p.To())
		}
	}
	form.Set("core", "MW-R-10.5")
	lead.Post("/sets/recipes", form)
	lead.Get("/sets").Wants(t, 200, []string{"notice wrong"}, nil)
}

// TestKeepAStandingSet goes from bare wires to recipes, to a standing set, to a changed and a retired one, and back.
func TestKeepAStandingSet(t *testing.T) {
	site := visit.Open(t, testkit.ScenarioShop(t))
	lead, winder := site.As(t, workshop.Lead), site.As(t, workshop.Winder)
	bench := url.Values{"string": {"P-10.5", "MW-H-17.3C + PB8-R-12.0", "MW-H-17.3C + PB8-R-12.0"}, "pitch": {"E4", "A2", "G2"}, "scale": {"", "", "26"}, "length": {"25.5"}}
	lead.Get("/sets/bench?"+bench.Encode()).Wants(t, 200, []string{"Make recipes of what is new here", `name="recipe-2"`}, []string{`name="recipe-3"`, `name="code"`})
	winder.Get("/sets/bench?"+bench.Encode()).Wants(t, 200, []string{`id="strings"`}, []string{"standing set</h2>", "Make recipes"})

	bench["recipe-2"] = []string{"NPS-46"}
	lead.Post("/sets/recipes/new", bench).Wants(t, 422, []string{"Recipe NPS-46", "already there", `value="NPS-46"`}, nil)
	bench["recipe-2"] = []string{"PB8-41X"}
	winder.Post("/sets/recipes/new", bench).Wants(t, 403, []string{"needs the role lead or owner"}, nil)
	p := lead.Post("/sets/recipes/new", bench)
	if p.Status != 303 || strings.Count(p.To(), "string=PB8-41X") != 2 {
		t.Fatalf("made: %d to %s", p.Status, p.To())
	}
	lead.Get(p.To()).Wants(t, 200, []string{"1 recipe is made", `name="code"`}, []string{"Make recipes of what is new here"})

	bench["string"] = []string{"P-10.5", "PB8-41X", "PB8-41X"}
	bench["code"] = []string{"harbour-6"}
	lead.Post("/sets/keep", bench).Wants(t, 422, []string{"is another set&#39;s already", `value="harbour-6"`, `id="f-code-wrong"`}, nil)
	bench["code"] = []string{"a b"}
	lead.Post("/sets/keep", bench).Wants(t, 422, []string{`id="f-code-wrong"`, `value="a b"`}, nil)
	bench["code"] = []string{"drone-3"}
	winder.Post("/sets/keep", bench).Wants(t, 403, nil, nil)
	p = lead.Post("/sets/keep", bench)
	lead.Get(p.To()).Wants(t, 200, []string{"drone-3 is a standing set now", "drone-3 is a standing set</h2>", "Retire drone-3", "as much as drone-3"}, []string{`name="code"`})

	bench["string"][0] = "P-11.5"
	delete(bench, "code")
	bench["with"] = []string{"drone-3"}
	lead.Get("/sets/bench?"+bench.Encode()).Wants(t, 200, []string{"Change drone-3 to this", `name="code"`}, []string{"Retire drone-3"})
	bench["code"] = []string{"drone-3"}
	winder.Post("/sets/change", bench).Wants(t, 403, nil, nil)
	p = lead.Post("/sets/change", bench)
	lead.Get(p.To()).Wants(t, 200, []string{"drone-3 is changed", `value="P-10.5"`, "Undo"}, nil) // the old strings stand in what undoes it
	winder.Post("/sets/retire", url.Values{"set": {"drone-3"}}).Wants(t, 403, nil, nil)
	lead.Post("/sets/retire", url.Values{"set": {"drone-3"}})
	lead.Get("/sets").Wants(t, 200, []string{"drone-3 is retired", `action="/sets/keep"`}, []string{">drone-3</a>"})
	lead.Post("/sets/keep", bench)
	lead.Get("/sets").Wants(t, 200, []string{"drone-3"}, nil)
	lead.Post("/sets/change", url.Values{"code": {"nothing"}, "string": {"P-10.5"}, "pitch": {"E4"}, "length": {"25.5"}}).Wants(t, 422, []string{"nothing: not found"}, nil)
}

func TestTuningAndFannedFrets(t *testing.T) {
	v := visit.Open(t, testkit.ScenarioShop(t)).As(t, workshop.Lead)
	for name, tt := range map[string]struct {
		more url.Values
		want string
	}{
		"drop":     {url.Values{"do": {"tune"}, "tuning": {"bass-drop"}}, "pitch=G2&pitch=D2&pitch=A1&pitch=D1"},
		"a tone":   {url.Values{"do": {"move"}, "semitones": {"-2"}}, "pitch=D4&pitch=A3"},
		"minus":    {url.Values{"do": {"move"}, "semitones": {"−12"}}, "pitch=E3&pitch=B2"},
		"fanned":   {url.Values{"do": {"fan"}, "treble": {"25.5"}, "bass": {"27"}}, "scale=25.5&scale=27"},
		"of metal": {url.Values{"do": {"fan"}, "treble": {"648 mm"}, "bass": {"686mm"}}, "scale=25.512&scale=27.008"},
	} {
		if p := v.Get(laid("/sets/bench", tt.more, "P-10.5", "E4", "P-13.5", "B3")); p.Status != 303 || !strings.Contains(p.To(), tt.want) {
			t.Errorf("%s: %d to %s", name, p.Status, p.To())
		}
	}
	v.Get("/sets/bench?do=fan&treble=25.5&bass=27").Wants(t, 303, nil, nil)
	v.Get(laid("/sets/bench", url.Values{"do": {"fan"}, "treble": {"short"}, "bass": {"27"}}, "P-10.5", "E4")).Wants(t, 200, []string{`id="f-treble-wrong"`, `value="short"`, `value="27"`, `class="tune" open`}, nil)
	v.Get(laid("/sets/bench", url.Values{"do": {"move"}, "semitones": {"many"}}, "P-10.5", "E4")).Wants(t, 200, []string{`id="f-semitones-wrong"`, `value="many"`}, nil)
}
