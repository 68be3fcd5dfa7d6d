package api_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"windingroom/internal/api"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// TestChangesOfADay runs its rows in their order: proposed, changed, released, taken back.
func TestChangesOfADay(t *testing.T) {
	d := newDesk(t, testkit.ScenarioShop(t))
	const day = "/days/2026-03-02"
	lead := func(method, path, body string) request { return request{workshop.Lead, method, path, body, nil} }
	d.expect(t, lead("POST", day+"/changes", `{}`), 404, "no plan for 2026-03-02")
	d.expect(t, lead("POST", day+"/proposal", ""), 200, `"proof":"`, `"lateness_min":`, `"lateness_bound_min":`, `"optimal":`, `"pinned":[]`, `"held":[]`, `"differences":[]`)
	first := d.firstBatch(t, day)
	batch := d.batch(t, day, first)
	held := fmt.Sprintf(`{"recipe":%q,"scale_in":%g}`, batch.Recipe, batch.ScaleIn)
	for _, tt := range []struct {
		name    string
		request request
		status  int
		has     []string
	}{
		{"by a winder", request{workshop.Winder, "POST", day + "/changes", `{}`, nil}, 403, []string{"lead or owner"}},
		{"no change", lead("POST", day+"/changes", `{}`), 200, []string{`"differences":[]`}},
		{"pin", lead("POST", day+"/changes", `{"pin":["`+first+`"]}`), 200, []string{`"pinned":["` + first + `"]`}},
		{"unpin", lead("POST", day+"/changes", `{"unpin":["`+first+`"]}`), 200, []string{`"pinned":[]`}},
		{"hold", lead("POST", day+"/changes", `{"hold_strings":[`+held+`]}`), 200, []string{`"held":[` + held + `]`, `"what":"went out"`, `"detail":"held by the lead; resume it to plan it"`}},
		{"differences", request{workshop.Winder, "GET", day + "/differences", "", nil}, 200, []string{`"date":"2026-03-02","differences":[{"what":"`, `"batch":"` + first + `"`}},
		{"resume", lead("POST", day+"/changes", `{"resume":[`+held+`]}`), 200, []string{`"held":[]`}},
		{"overtime", lead("POST", day+"/changes", `{"overtime_min":45}`), 200, []string{`"overtime_allowed_min":45`}},
		{"machine down", lead("POST", day+"/changes", `{"down":["BENCH-2"]}`), 200, []string{`"down":["bench-2"]`, `{"machine":"bench-2","batches":[]}`}},
		{"anew", lead("POST", day+"/changes", `{"anew":true}`), 200, []string{`"down":[]`, `"overtime_allowed_min":0`}},
		{"no such batch", lead("POST", day+"/changes", `{"pin":["B-none"]}`), 422, []string{`"location":"pin"`, "not in the plan of 2026-03-02"}},
		{"no such machine", lead("POST", day+"/changes", `{"move":[{"batch":"`+first+`","machine":"none","place":1}]}`), 422, []string{`"location":"move"`}},
		{"no place", lead("POST", day+"/changes", `{"move":[{"batch":"`+first+`","machine":"bench-1","place":0}]}`), 422, []string{"place"}},
		{"no scale", lead("POST", day+"/changes", `{"resume":[{"recipe":"P-16","scale_in":"long"}]}`), 422, []string{"scale_in"}},
		{"a slip", lead("POST", day+"/changes", `{"pinned":[]}`), 422, []string{"pinned"}},
		{"differences of no day", lead("GET", "/days/2026-03-03/differences", ""), 404, nil},
		{"release", lead("POST", day+"/release", ""), 200, []string{`"released":true`, `"status":"released"`}},
	} {
		t.Run(tt.name, func(t *testing.T) { d.expect(t, tt.request, tt.status, tt.has...) })
	}

	first = d.standing(t, day) // what was held went out, and came in again under another code
	for _, tt := range []struct {
		name    string
		request request
		status  int
		has     []string
	}{
		{"hold a released one", lead("POST", day+"/changes", `{"hold":["`+first+`"]}`), 409, []string{"is released"}},
		{"take back without a reason", lead("POST", "/batches/"+first+"/take-back", `{"reason":""}`), 422, []string{"reason"}},
		{"take back", lead("POST", "/batches/"+first+"/take-back", `{"reason":"wanted elsewhere"}`), 200, []string{`"released":false`, `"batch":"` + first + `","status":"proposed"`}},
		{"take nothing back", lead("POST", "/batches/B-none/take-back", `{"reason":"wanted"}`), 404, nil},
		{"release again", lead("POST", day+"/release", ""), 200, []string{`"released":true`}},

		{"ahead", request{workshop.Winder, "GET", "/days?from=2026-03-02&days=2", "", nil}, 200,
			[]string{`"from":"2026-03-02"`, `"machines":[{"machine":"bench-1","minutes":450,`, `"completed_orders":["`, `"not_planned":[`}},
		{"ahead of too many days", request{workshop.Winder, "GET", "/days?from=2026-03-02&days=31", "", nil}, 422, []string{"days"}},
		{"ahead of no date", request{workshop.Winder, "GET", "/days?from=soon", "", nil}, 422, []string{"query.from"}},
		{"sound", request{workshop.Winder, "GET", "/verification", "", nil}, 200, []string{`"clean":true`}},
	} {
		t.Run(tt.name, func(t *testing.T) { d.expect(t, tt.request, tt.status, tt.has...) })
	}
}

// batch finds a batch in the plan of a day.
func (d *desk) batch(t *testing.T, day, code string) api.Batch {
	t.Helper()
	var plan api.Plan
	if err := json.Unmarshal([]byte(d.expect(t, request{workshop.Winder, "GET", day, "", nil}, 200)), &plan); err != nil {
		t.Fatal(err)
	}
	for _, m := range plan.Machines {
		for _, b := range m.Batches {
			if b.Batch == code {
				return b
			}
		}
	}
	t.Fatalf("no batch %s", code)
	return api.Batch{}
}

// standing gives the first batch of a day's plan.
func (d *desk) standing(t *testing.T, day string) string {
	t.Helper()
	var plan api.Plan
	if err := json.Unmarshal([]byte(d.expect(t, request{workshop.Winder, "GET", day, "", nil}, 200)), &plan); err != nil {
		t.Fatal(err)
	}
	for _, m := range plan.Machines {
		for _, b := range m.Batches {
			return b.Batch
		}
	}
	t.Fatal("no batch in the plan")
	return ""
}
