package today_test

import (
	"regexp"
	"strings"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

func TestTodayFromEmptyToReleased(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	v := visit.Open(t, shop).Visit(t)
	v.SignIn(workshop.Lead)
	v.Get("/").Wants(t, 200,
		[]string{"Monday 2 March 2026", "No plan yet for this day", ">Propose<", "Wire that is short", "Eye protection on", "Thornmere String Works"},
		[]string{">Release<", "Batch sheets"})

	if p := v.Post("/days/2026-03-02/release", nil); p.Status != 303 || p.To() != "/?date=2026-03-02" {
		t.Fatalf("release before a proposal: %d to %q", p.Status, p.To())
	}
	v.Get("/").Wants(t, 200, []string{`class="notice wrong" role="alert"`, "No plan for 2026-03-02"}, nil)

	if p := v.Post("/days/2026-03-02/propose", nil); p.Status != 303 {
		t.Fatalf("propose: %d %s", p.Status, p.Body)
	}
	proposed := v.Get("/?date=2026-03-02")
	proposed.Wants(t, 200, []string{
		"Proposed: ", "strings to wind", ">Release<", ">Propose again<", "no sequence of these batches can have less than", "bench-1", "long-bed",
		"The day by machine", `<svg class="lane-bars"`, "76 batches on 3 machines", "Not planned", "Nothing is allocated until the plan is released",
	}, []string{"Batch sheets<"})
	if !regexp.MustCompile(`<a class="bar [^"]+" href="/batches/[^"]+"[^>]*><title>`).MatchString(proposed.Body) {
		t.Error("the bars do not lead to their batches")
	}
	if p := v.Get("/days/2026-03-02/sheets.xlsx"); p.Status != 409 || !strings.Contains(p.Body, "not released yet") {
		t.Errorf("sheets of a proposal: %d", p.Status)
	}

	if p := v.Post("/days/2026-03-02/release", nil); p.Status != 303 {
		t.Fatalf("release: %d %s", p.Status, p.Body)
	}
	v.Get("/").Wants(t, 200, []string{"Released: ", "Released by test lead, 2 Mar 2026, 06:30", `href="/days/2026-03-02/sheets.xlsx"`},
		[]string{">Release<", ">Propose<", ">Propose again<"})
	book := v.Get("/days/2026-03-02/sheets.xlsx")
	if book.Status != 200 || !strings.HasPrefix(book.Body, "PK") ||
		book.Header.Get("Content-Disposition") != `attachment; filename="batch-sheets-2026-03-02.xlsx"` {
		t.Errorf("sheets: %d %v", book.Status, book.Header)
	}
	if p := v.Post("/days/2026-03-02/propose", nil); p.Status != 303 {
		t.Errorf("propose a released day: %d", p.Status)
	}
	v.Get("/").Wants(t, 200, []string{"it stands as it is"}, nil)
	v.Get("/?date=2026-03-03").Wants(t, 200, []string{"Tuesday 3 March 2026", "No plan yet"}, nil)
}

func TestEmptyShopSaysWhatToDo(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit.Open(t, shop).Visit(t)
	v.SignIn(workshop.Owner)
	v.Post("/days/2026-03-02/propose", nil)
	v.Get("/").Wants(t, 200, []string{"Nothing to wind", "windingroom import FOLDER", ">Propose again<"}, []string{">Release<", "Wire that is short", "<svg"})
}

// TestRoles lets each role try what it may and may not do.
func TestRoles(t *testing.T) {
	tests := []struct {
		role  workshop.Role
		plans bool
	}{{workshop.Owner, true}, {workshop.Lead, true}, {workshop.Bookkeeper, false}, {workshop.Winder, false}}
	for _, tt := range tests {
		t.Run(string(tt.role), func(t *testing.T) {
			shop := testkit.Shop(t)
			v := visit.Open(t, shop).Visit(t)
			v.SignIn(tt.role)
			if got := strings.Contains(v.Get("/?date=2026-04-01").Body, `action="/days/2026-04-01/propose"`); got != tt.plans {
				t.Errorf("offered to plan: %v, want %v", got, tt.plans)
			}
			v.Post("/days/2026-04-01/propose", nil)
			said := v.Get("/?date=2026-04-01").Body
			if refused := strings.Contains(said, "Planning a day needs the role lead or owner"); refused == tt.plans {
				t.Errorf("refused: %v, want %v: %.2000s", refused, !tt.plans, said)
			}
			v.Post("/days/2026-04-01/release", nil)
			said = v.Get("/?date=2026-04-01").Body
			if refused := strings.Contains(said, "Releasing a day needs the role lead or owner"); refused == tt.plans {
				t.Errorf("release refused: %v, want %v", refused, !tt.plans)
			}
		})
	}
}
