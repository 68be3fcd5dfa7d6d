package api_test

import (
	"strings"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// TestSets asks about sets of the invented shop and makes a recipe of an answer; the rows run in their order.
func TestSets(t *testing.T) {
	d := newDesk(t, testkit.ScenarioShop(t))
	const match = `{"set": [{"recipe": "NPS-46", "scale_in": 25.5, "pitch": "E2"}], "alloy": "nickel", "tolerance_percent": 5, "held_only": true}`
	const made = `{"recipe": "NI-44", "core": "MW-H-14.0", "wraps": [{"wire": "NI-R-14.0"}]}`
	wrong := func(old, new string) string { return strings.Replace(match, old, new, 1) }
	tests := []struct {
		name    string
		request request
		status  int
		has     []string
	}{
		{"nobody", request{"", "POST", "/match", match, nil}, 401, nil},
		{"match", request{workshop.Winder, "POST", "/match", match, nil}, 200, []string{`"core":"MW-H-14.0","wraps":["NI-R-14.0"]`, `"recipe":""`, `"held":true`, `"recommended":{"strings":`, "nickel may sensitise skin"}},
		{"a standing set", request{workshop.Winder, "POST", "/match", `{"set":"Harbour-6","alloy":"NICKEL"}`, nil}, 200, []string{`"position":6`, `"alloy":"nickel"`}},
		{"pitch", request{workshop.Winder, "POST", "/match", wrong("E2", "H2"), nil}, 422, []string{`"location":"set[0].pitch"`}},
		{"recipe", request{workshop.Winder, "POST", "/match", wrong("NPS-46", "NPS-47"), nil}, 422, []string{`"location":"set[0].recipe"`}},
		{"alloy", request{workshop.Winder, "POST", "/match", wrong("nickel", "tin"), nil}, 422, []string{`"location":"alloy"`}},
		{"no set", request{workshop.Winder, "POST", "/match", `{"alloy":"nickel","set":[]}`, nil}, 422, []string{`"location":"set"`}},
		{"not JSON", request{workshop.Winder, "POST", "/match", `{"set":`, nil}, 422, []string{"line 1"}},
		{"tension", request{workshop.Winder, "POST", "/sets/tension", `{"set":"harbour-6","reference":"kiln-6"}`, nil}, 200, []string{`"word":"heavier"`, `"borders":[{"from":3,"to":4,`}},
		{"balance", request{workshop.Winder, "POST", "/sets/balance", `{"set":[{"scale_in":25.5,"pitch":"E4","plain":true},{"scale_in":25.5,"pitch":"E2","plain":false}],"alloy":"nickel-plated-steel","equal_n":75}`, nil}, 200, []string{`"by":"closeness`, `"wanted_tension_n":75`}},
		{"find", request{workshop.Winder, "POST", "/wires/find", `{"gauge_thou":44,"alloy":"nickel","scale_in":25.5,"pitch":"E2"}`, nil}, 200, []string{`"core":"MW-H-14.0"`, `"tension_from_n":`}},
		{"recipe as winder", request{workshop.Winder, "POST", "/recipes", made, nil}, 403, nil},
		{"recipe", request{workshop.Lead, "POST", "/recipes", made, nil}, 201, []string{`"gauge_thou":44`, `"yield":0.965`, `"ball_end":true`}},
		{"recipe again", request{workshop.Lead, "POST", "/recipes", made, nil}, 201, []string{`"recipe":"NI-44"`}},
		{"another of that code", request{workshop.Lead, "POST", "/recipes", strings.Replace(made, "NI-44", "NPS-46", 1), nil}, 409, []string{"already-there"}},
		{"no such wire", request{workshop.Lead, "POST", "/recipes", strings.Replace(made, "NI-R-14.0", "NI-R-99", 1), nil}, 422, []string{`"location":"wraps[0].wire"`}},
		{"a core as wrap", request{workshop.Lead, "POST", "/recipes", strings.Replace(made, "NI-R-14.0", "MW-R-8.0", 1), nil}, 422, []string{`"location":"wraps[0].wire"`, "no wrap alloy"}},
		{"no such gauge", request{workshop.Lead, "POST", "/recipes", strings.Replace(made, `"core"`, `"gauge_thou": 60, "core"`, 1), nil}, 422, []string{`"location":"gauge_thou"`}},
		{"found as a recipe", request{workshop.Winder, "POST", "/match", match, nil}, 200, []string{`"recipe":"NI-44"`}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { d.expect(t, tt.request, tt.status, tt.has...) })
	}
}

// TestStandingSets keeps, changes and retires one; the rows run in their order.
func TestStandingSets(t *testing.T) {
	d := newDesk(t, testkit.ScenarioShop(t))
	const duo = `{"set": "duo", "strings": [{"recipe": "P-10.5", "scale_in": 25.5, "pitch": "E4"}, {"recipe": "NPS-38", "scale_in": 25.5, "pitch": "A2"}]}`
	const longer = `{"strings": [{"recipe": "P-10.5", "scale_in": 27, "pitch": "E4"}]}`
	tests := []struct {
		name    string
		request request
		status  int
		has     []string
	}{
		{"list", request{workshop.Winder, "GET", "/sets", "", nil}, 200, []string{`{"set":"harbour-6","strings":[{"position":1,"recipe":"P-10.5","scale_in":25.5,"pitch":"E4"}`}},
		{"keep as winder", request{workshop.Winder, "POST", "/sets", duo, nil}, 403, nil},
		{"keep", request{workshop.Lead, "POST", "/sets", duo, nil}, 201, []string{`{"set":"duo","strings":[{"position":1,`, `"recipe":"NPS-38"`}},
		{"keep again", request{workshop.Lead, "POST", "/sets", duo, nil}, 201, []string{`"set":"duo"`}},
		{"code taken", request{workshop.Lead, "POST", "/sets", strings.Replace(duo, "25.5", "26", 1), nil}, 409, []string{"already-there"}},
		{"no such recipe", request{workshop.Lead, "POST", "/sets", strings.Replace(duo, "NPS-38", "MW-R-10.5", 1), nil}, 422, []string{`"location":"strings[1].recipe"`}},
		{"no such pitch", request{workshop.Lead, "PUT", "/sets/duo", strings.Replace(duo, "A2", "H2", 1), nil}, 422, []string{`"location":"strings[1].pitch"`}},
		{"change", request{workshop.Lead, "PUT", "/sets/DUO", longer, nil}, 200, []string{`{"set":"duo","strings":[{"position":1,"recipe":"P-10.5","scale_in":27,"pitch":"E4"}]}`}},
		{"change what is not there", request{workshop.Lead, "PUT", "/sets/nothing", longer, nil}, 404, nil},
		{"retire as bookkeeper", request{workshop.Bookkeeper, "POST", "/sets/duo/retire", "", nil}, 403, nil},
		{"retire", request{workshop.Owner, "POST", "/sets/duo/retire", "", nil}, 200, []string{`"set":"duo"`}},
		{"retire again", request{workshop.Owner, "POST", "/sets/duo/retire", "", nil}, 404, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { d.expect(t, tt.request, tt.status, tt.has...) })
	}
}
