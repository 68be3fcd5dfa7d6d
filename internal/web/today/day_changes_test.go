package today_test

import (
	"net/url"
	"regexp"
	"strings"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

var firstBatch = regexp.MustCompile(`data-batch="([^"]+)"`)

func TestADayIsChangedByForms(t *testing.T) {
	shop := smallShop(t)
	v := visit.Open(t, shop).Visit(t)
	v.SignIn(workshop.Lead)
	v.Post("/days/2026-03-02/propose", nil)
	page := v.Get("/")
	page.Wants(t, 200, []string{"How good it is shown to be", `href="/ahead?from=2026-03-02"`, ">Machine is down<", ">Allow<", `class="drag-move" hidden`}, []string{">Plan afresh<"})
	code := firstBatch.FindStringSubmatch(page.Body)[1]
	v.Get("/batches/"+code).Wants(t, 200, []string{">Pin here<", ">Hold<", ">Move<", ">Runs late<", "What goes on the machine", "Orders it winds for", "Nothing is posted yet"}, []string{">Take back<", ">At the bench<"})
	held := ""

	tests := []struct {
		name   string
		form   url.Values
		has    []string
		hasNot []string
	}{
		{"pin", url.Values{"pin": {code}}, []string{"the batches are as they were", ">pinned<", `name="unpin"`, ">Undo<", ">Plan afresh<"}, nil},
		{"unpin", url.Values{"unpin": {code}}, []string{"Planned again"}, []string{">pinned<"}},
		{"move to no place", url.Values{"move": {code}, "machine": {"b"}, "place": {"first"}}, []string{`role="alert"`, "not a place from 1"}, nil},
		{"overtime", url.Values{"overtime": {"30"}}, []string{"Planned again", `name="overtime" inputmode="numeric" value="30"`}, nil},
		{"no overtime", url.Values{"overtime": {"soon"}}, []string{`role="alert"`}, nil},
		{"down", url.Values{"down": {"a"}}, []string{">Machine is up again<", ">down<"}, nil},
		{"afresh", url.Values{"anew": {"1"}}, []string{"Planned again"}, []string{">Machine is up again<"}},
		{"a batch of nowhere", url.Values{"hold": {"B-none"}}, []string{`role="alert"`, "is not in the plan"}, nil},
		{"hold", url.Values{"hold": {code}}, []string{"Held strings", ">Resume<", "to the plan before"}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if p := v.Post("/days/2026-03-02/changes", tt.form); p.Status != 303 {
				t.Fatalf("status %d: %s", p.Status, p.Body)
			}
			p := v.Get("/?date=2026-03-02")
			p.Wants(t, 200, tt.has, tt.hasNot)
			if m := regexp.MustCompile(`name="resume" value="([^"]+)"`).FindStringSubmatch(p.Body); m != nil {
				held = m[1]
			}
		})
	}
	v.Post("/days/2026-03-02/release", nil)
	v.Get("/").Wants(t, 200, []string{"Released by", " released</span>"}, []string{">Release<"})
	v.Get("/batches/"+code).Wants(t, 404, nil, nil) // its strings are held
	released := firstBatch.FindStringSubmatch(v.Get("/").Body)[1]
	v.Get("/batches/"+released).Wants(t, 200, []string{">Take back<", ">At the bench<"}, []string{">Pin here<", ">Hold<"})
	v.Post("/days/2026-03-02/changes", url.Values{"resume": {held}, "overtime": {"60"}})
	page = v.Get("/")
	page.Wants(t, 200, []string{" proposed</span>", ">Release<", "Batch sheets<", "nothing is allocated until that is released too"}, nil)
	code = firstBatch.FindStringSubmatch(page.Body)[1]
	v.Post("/days/2026-03-02/batches/"+code+"/take-back", url.Values{"reason": {"wanted elsewhere"}})
	v.Get("/").Wants(t, 200, []string{"Batch " + code + " is taken back"}, nil)
	v.Post("/days/2026-03-02/batches/"+code+"/take-back", url.Values{"reason": {""}})

	v.Get("/ahead?from=2026-03-02").Wants(t, 200, []string{"complete in 10 working days", "Monday 2 March", "orders completed", `<svg class="load-bar"`}, nil)
	v.Get("/ahead?from=soon").Wants(t, 422, nil, nil)
}

func TestAWinderSeesNoForms(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	if _, err := shop.ProposeDay(testkit.As(t.Context(), workshop.Lead), testkit.Day(t)); err != nil {
		t.Fatal(err)
	}
	v := visit.Open(t, shop).Visit(t)
	v.SignIn(workshop.Winder)
	v.Get("/").Wants(t, 200, []string{"A lead or an owner releases it"}, []string{">Pin here<", ">Hold<", ">Machine is down<", ">Allow<", "/changes"})
	if p := v.Post("/days/2026-03-02/changes", url.Values{"anew": {"1"}}); p.Status != 303 {
		t.Fatalf("status %d", p.Status)
	}
	if p := v.Get("/"); !strings.Contains(p.Body, `role="alert"`) {
		t.Error("a winder changed the plan")
	}
}
