package api_test

import (
	"strings"
	"testing"

	"windingroom/internal/stock"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

func TestPeriods(t *testing.T) {
	d := newDesk(t, testkit.ScenarioShop(t))
	tests := []struct {
		name    string
		request request
		status  int
		has     []string
	}{
		{"months", request{workshop.Winder, "GET", "/periods", "", nil}, 200, []string{`"months":[{"month":"2026-02","status":"open","history":[]}`, `{"month":"2025-09"`}},
		{"a lead closes", request{workshop.Lead, "POST", "/periods/2025-09/close", "", nil}, 403, []string{"bookkeeper or owner"}},
		{"no month", request{workshop.Bookkeeper, "POST", "/periods/2025-13/close", "", nil}, 422, []string{`"location":"path.month"`}},
		{"out of order", request{workshop.Bookkeeper, "POST", "/periods/2025-10/close", "", nil}, 409, []string{"/problems/not-closable", "2025-09 has movements and is open"}},
		{"this month", request{workshop.Bookkeeper, "POST", "/periods/2026-03/close", "", nil}, 409, []string{"not over before 2026-04-01"}},
		{"close", request{workshop.Bookkeeper, "POST", "/periods/2025-09/close", "", map[string]string{"Idempotency-Key": "c1"}}, 200, []string{`"month":"2025-09"`, `"figures_hash":"`}},
		{"the same again", request{workshop.Bookkeeper, "POST", "/periods/2025-09/close", "", map[string]string{"Idempotency-Key": "c1"}}, 200, []string{`"figures_hash":"`}},
		{"twice", request{workshop.Bookkeeper, "POST", "/periods/2025-09/close", "", nil}, 409, []string{"/problems/already-there"}},
		{"into a closed month", request{workshop.Lead, "POST", "/spools", `{"spool": "N-9", "wire": "MW-R-13.5", "lot": "L", "received_on": "2025-09-20", "gross_g": 1200, "tare_g": 200, "cost": 46.00}`, nil},
			409, []string{"/problems/closed", "the books are closed up to 2025-09"}},
		{"explain", request{workshop.Winder, "GET", "/periods/2025-09/explain?wire=mw-h-17.3c&column=received", "", nil}, 200, []string{`"wire":"MW-H-17.3C","column":"received","mass_mg":373280,"cost":22.09`, `"spool":"S401"`}},
		{"explain nothing", request{workshop.Winder, "GET", "/periods/2025-09/explain?wire=none&column=received", "", nil}, 422, []string{`"location":"wire"`}},
		{"a bookkeeper reopens", request{workshop.Bookkeeper, "POST", "/periods/2025-09/reopen", `{"reason": "x"}`, nil}, 403, []string{"owner"}},
		{"reopen without a reason", request{workshop.Owner, "POST", "/periods/2025-09/reopen", `{"reason": ""}`, nil}, 422, []string{`"location":"reason"`}},
		{"reopen", request{workshop.Owner, "POST", "/periods/2025-09/reopen", `{"reason": "an invoice came late"}`, nil}, 200, []string{`"act":"reopened"`, `"reason":"an invoice came late"`}},
		{"reopen an open one", request{workshop.Owner, "POST", "/periods/2025-09/reopen", `{"reason": "x"}`, nil}, 404, nil},
		{"books", request{workshop.Bookkeeper, "GET", "/periods/2026-02/books.xlsx", "", nil}, 200, []string{"PK"}},
		{"books of a year", request{workshop.Owner, "GET", "/periods/2025-09/books.xlsx?until=2026-02", "", nil}, 200, []string{"PK"}},
		{"books to come", request{workshop.Owner, "GET", "/periods/2026-05/books.xlsx", "", nil}, 422, []string{"comes after 2026-03"}},
		{"books of a century", request{workshop.Owner, "GET", "/periods/1900-01/books.xlsx?until=2026-02", "", nil}, 422, []string{"120 months"}},
		{"a winder's books", request{workshop.Winder, "GET", "/periods/2026-02/books.xlsx", "", nil}, 403, nil},
		{"method", request{workshop.Bookkeeper, "POST", "/methods", `{"alloy": "Music-Wire", "method": "fifo", "from": "2026-01", "reason": "audit"}`, nil}, 200, []string{`"alloy":"music-wire","method":"fifo","from":"2026-01"`}},
		{"method of no alloy", request{workshop.Bookkeeper, "POST", "/methods", `{"alloy": "cheese", "method": "fifo", "from": "2026-01", "reason": "audit"}`, nil}, 422, []string{`"location":"family"`}},
		{"invoice of no purchase", request{workshop.Bookkeeper, "POST", "/purchases/P-9/invoices", `{"number": "R1", "amount": 12.50, "invoiced_on": "2026-03-01"}`, nil}, 404, []string{"P-9"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			rec := d.do(tt.request)
			if rec.Code != tt.status {
				t.Fatalf("status %d, want %d: %.400s", rec.Code, tt.status, rec.Body)
			}
			for _, has := range tt.has {
				if !strings.Contains(rec.Body.String(), has) {
					t.Errorf("no %s in %.600s", has, rec.Body)
				}
			}
		})
	}
}

// Books of which a check differs are refused, say which, and are handed out only to who asks for them all the same; their month does not close.
func TestBooksThatAreOff(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	d := newDesk(t, shop)
	day := testkit.Day(t) - 10
	err := shop.Store.InTx(t.Context(), func(tx workshop.Tx) error {
		spools, err := tx.Spools()
		if err != nil {
			return err
		}
		b := spools[0]
		_, err = tx.Post([]stock.Movement{{Spool: b.Code, Kind: stock.Draw, Mass: -1000, Cost: b.CostOf(-1000), EffectiveOn: day, EffectiveAt: day.Time(), PostedAt: day.Time(), Person: "x",
			Reason: "a draw that no result stands behind", Source: "x"}})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	off := d.do(request{workshop.Bookkeeper, "GET", "/periods/2026-02/books.xlsx", "", nil})
	if off.Code != 409 || !strings.Contains(off.Body.String(), "/problems/books-off") || !strings.Contains(off.Body.String(), "bear the wire drawn") {
		t.Errorf("status %d: %.600s", off.Code, off.Body)
	}
	if all := d.do(request{workshop.Bookkeeper, "GET", "/periods/2026-02/books.xlsx?unreconciled=true", "", nil}); all.Code != 200 || !strings.HasPrefix(all.Body.String(), "PK") {
		t.Errorf("all the same: status %d: %.200s", all.Code, all.Body)
	}
	for _, m := range []string{"2025-09", "2025-10", "2025-11", "2025-12", "2026-01", "2026-02"} {
		rec := d.do(request{workshop.Bookkeeper, "POST", "/periods/" + m + "/close", "", nil})
		if m == "2026-02" && (rec.Code != 409 || !strings.Contains(rec.Body.String(), "do not tie out")) {
			t.Errorf("closing %s: status %d: %.600s", m, rec.Code, rec.Body)
		}
	}
}
