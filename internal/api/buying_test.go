package api_test

import (
	"encoding/json"
	"strings"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

func TestBuying(t *testing.T) {
	d := newDesk(t, testkit.ScenarioShop(t))
	const spools = `{"spools": [{"spool": "N-1", "wire": "MW-R-13.5", "lot": "AS-77", "gross_g": 1200, "tare_g": "200", "cost": 46.00}], "freight": 5}`
	rest := strings.NewReplacer("N-1", "N-2", "1200", "2200", "46.00", "89.20").Replace(spools)
	// The rows run in their order: a night, a purchase of a person's own, sent, received in two parts.
	tests := []struct {
		name    string
		request request
		status  int
		has     []string
	}{
		{"before the first night", request{workshop.Owner, "GET", "/reorder", "", nil}, 404, []string{"no nightly check has run yet"}},
		{"nobody", request{"", "GET", "/reorder", "", nil}, 401, nil},
		{"a winder's night", request{workshop.Winder, "POST", "/nights/2026-03-02", "", nil}, 403, []string{"lead, bookkeeper or owner"}},
		{"no date", request{workshop.Lead, "POST", "/nights/2026-02-30", "", nil}, 422, []string{`"location":"path.date"`}},
		{"night", request{workshop.Bookkeeper, "POST", "/nights/2026-03-02", "", nil}, 200, []string{`"date":"2026-03-02"`, `"wires":[{"wire":"BZ-R-10.5","on_hand_g":`,
			`"alert":"late"`, `"purchases":[{"supplier":"ashdell","order_by":"2026-`, `"total":`, `"run_out_on":"2026-03-0`, `"orders_at_risk":[{"order":"O-26-`}},
		{"reorder", request{workshop.Bookkeeper, "GET", "/reorder", "", nil}, 200, []string{`"date":"2026-03-02"`, `"answer":null`}},
		{"a winder looks", request{workshop.Winder, "GET", "/reorder", "", nil}, 403, []string{`seeing what to order and its prices needs the role lead, bookkeeper or owner`}},
		{"a winder lists purchases", request{workshop.Winder, "GET", "/purchases", "", nil}, 403, nil},
		{"a winder answers", request{workshop.Winder, "POST", "/wires/NI-R-9.5/alert", `{"reason": "x"}`, nil}, 403, nil},
		{"answer", request{workshop.Lead, "POST", "/wires/ni-r-9.5/alert", `{"reason": "by telephone", "until": "2026-03-09"}`, nil}, 200, []string{`"reason":"by telephone","until":"2026-03-09"`}},
		{"answer without a reason", request{workshop.Lead, "POST", "/wires/NI-R-9.5/alert", `{"reason": ""}`, nil}, 422, []string{`"location":"reason"`}},
		{"answer until no date", request{workshop.Lead, "POST", "/wires/NI-R-9.5/alert", `{"reason": "x", "until": "soon"}`, nil}, 422, []string{`"location":"until"`}},

		{"propose", request{workshop.Lead, "POST", "/nights/2026-03-02/purchases", "", nil}, 200, []string{`"purchase":"P260302-1"`, `"supplier":"osterby"`, `"night":"2026-03-02"`}},
		{"propose a night that never was", request{workshop.Lead, "POST", "/nights/2026-03-05/purchases", "", nil}, 404, nil},
		{"what the night asks for from one", request{workshop.Lead, "POST", "/purchases", `{"supplier": "hollin"}`, nil}, 201, []string{`"supplier":"hollin","status":"proposed"`, `"wire":"PB8-R-12.0"`}},
		{"add", request{workshop.Lead, "POST", "/purchases", `{"supplier": "ashdell", "lines": [{"wire": "mw-r-13.5", "kg": 3}], "freight": 9.90}`, nil}, 201,
			[]string{`"purchase":"P260302-6"`, `"version":1`, `"packs":3,"kg":3,"price_per_kg":44.60,"cost":133.80,"received_kg":0,"outstanding_kg":3`, `"total":143.70`, `"below_minimum":true`}},
		{"add of a wire that is not there", request{workshop.Lead, "POST", "/purchases", `{"supplier": "ashdell", "lines": [{"wire": "x", "packs": 1}]}`, nil}, 422, []string{`"location":"lines[0].wire"`}},
		{"add an unknown field", request{workshop.Lead, "POST", "/purchases", `{"suplier": "ashdell"}`, nil}, 422, []string{`suplier`}},
		{"add as bookkeeper", request{workshop.Bookkeeper, "POST", "/purchases", `{"supplier": "hollin"}`, nil}, 403, nil},
		{"change", request{workshop.Lead, "PUT", "/purchases/P260302-6", `{"version": 1, "note": "by van"}`, nil}, 200, []string{`"version":2`, `"note":"by van"`, `"packs":3`}},
		{"change what has changed", request{workshop.Lead, "PUT", "/purchases/P260302-6", `{"version": 1, "note": "by train"}`, nil}, 409, []string{"/problems/changed", "version 1 was seen"}},
		{"receive too early", request{workshop.Lead, "POST", "/purchases/P260302-6/receipts", spools, nil}, 409, []string{"/problems/stage"}},
		{"send", request{workshop.Lead, "POST", "/purchases/p260302-6/send", `{"version": 2, "promised_on": "2026-03-16"}`, nil}, 200, []string{`"status":"sent"`, `"ordered_on":"2026-03-02","promised_on":"2026-03-16","due_on":"2026-03-16"`}},
		{"the supplier's spreadsheet", request{workshop.Bookkeeper, "GET", "/purchases/P260302-6/order.xlsx", "", nil}, 200, []string{"PK"}},
		{"receive another wire", request{workshop.Lead, "POST", "/purchases/P260302-6/receipts", strings.Replace(spools, "MW-R-13.5", "NI-R-9.5", 1), nil}, 422, []string{`"location":"spools[0].wire"`}},
		{"receive", request{workshop.Bookkeeper, "POST", "/purchases/P260302-6/receipts", spools, nil}, 201, []string{`"changed":true`, `"freight":5.00`, `"cost":51.00`, `"status":"part received"`, `"labels":"/api/v1/spools/labels.xlsx?delivery=D260302-1"`,
			`"received_kg":1,"outstanding_kg":2`, `{"spool":"N-1","wire":"MW-R-13.5","received_on":"2026-03-02","mass_mg":1000000,"cost":46.00,"expected":44.60,"price_difference":1.40}`}},
		{"labels of what came", request{workshop.Winder, "GET", "/spools/labels.xlsx?spool=n-1&spool=S401", "", nil}, 200, []string{"PK"}},
		{"labels of a delivery", request{workshop.Winder, "GET", "/spools/labels.xlsx?delivery=d260302-1", "", nil}, 200, []string{"PK"}},
		{"labels of no delivery", request{workshop.Winder, "GET", "/spools/labels.xlsx?delivery=D-1", "", nil}, 404, []string{"D-1"}},
		{"labels of a delivery and a spool", request{workshop.Winder, "GET", "/spools/labels.xlsx?delivery=D260302-1&spool=N-1", "", nil}, 422, []string{`"location":"delivery"`}},
		{"labels of none", request{workshop.Winder, "GET", "/spools/labels.xlsx", "", nil}, 422, []string{`"location":"spool"`}},
		{"labels of a spool that is not there", request{workshop.Winder, "GET", "/spools/labels.xlsx?spool=N-1&spool=N-99", "", nil}, 404, []string{"N-99"}},
		{"receive again", request{workshop.Bookkeeper, "POST", "/purchases/P260302-6/receipts", spools, nil}, 200, []string{`"changed":false`}},
		{"cancel", request{workshop.Lead, "POST", "/purchases/P260302-6/cancel", `{"reason": "x"}`, nil}, 409, []string{"close it if no more will come"}},
		{"the rest", request{workshop.Lead, "POST", "/purchases/P260302-6/receipts", rest, map[string]string{"Idempotency-Key": "rest"}}, 201, []string{`"status":"closed"`, `"price_difference":1.40`}},
		{"the rest, repeated", request{workshop.Lead, "POST", "/purchases/P260302-6/receipts", rest, map[string]string{"Idempotency-Key": "rest"}}, 201, []string{`"status":"closed"`}},
		{"list", request{workshop.Bookkeeper, "GET", "/purchases?status=closed", "", nil}, 200, []string{`{"purchases":[{"purchase":"P260302-6"`}},
		{"open ones", request{workshop.Bookkeeper, "GET", "/purchases?open=true", "", nil}, 200, []string{`"purchase":"P260302-5"`}},
		{"no such status", request{workshop.Bookkeeper, "GET", "/purchases?status=lost", "", nil}, 422, []string{`query.status`}},
		{"one", request{workshop.Bookkeeper, "GET", "/purchases/P260302-6", "", nil}, 200, []string{`"made_by":"token of lead"`}},
		{"none", request{workshop.Bookkeeper, "GET", "/purchases/P-0", "", nil}, 404, []string{"purchase P-0: not found"}},
		{"cancel a proposal, without a body", request{workshop.Owner, "POST", "/purchases/P260302-5/cancel", "", nil}, 200, []string{`"status":"cancelled"`}},
		{"terms", request{workshop.Lead, "PUT", "/wires/MW-R-13.5/terms", `{"minimum_g": 250, "breaks": [{"from_kg": 5, "price_per_kg": "41.50"}]}`, nil}, 200, []string{`"minimum_g":250,"breaks":[{"from_kg":5,"price_per_kg":41.50}]`}},
		{"those terms", request{workshop.Bookkeeper, "GET", "/wires/mw-r-13.5/terms", "", nil}, 200, []string{`"wire":"MW-R-13.5"`, `"minimum_g":250`}},
		{"terms that are none", request{workshop.Lead, "PUT", "/wires/MW-R-13.5/terms", `{"breaks": [{"from_kg": 0, "price_per_kg": "41.555"}]}`, nil}, 422, []string{`breaks[0].from_kg`, `breaks[0].price_per_kg`}},
		{"jobs", request{workshop.Lead, "GET", "/jobs", "", nil}, 200, []string{`{"runs":[]}`}},
		{"sound", request{workshop.Owner, "GET", "/verification", "", nil}, 200, []string{`"clean":true`}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			rec := d.do(tt.request)
			if rec.Code != tt.status {
				t.Fatalf("status %d, want %d: %.600s", rec.Code, tt.status, rec.Body)
			}
			for _, want := range tt.has {
				if !strings.Contains(rec.Body.String(), want) {
					t.Errorf("lacks %q: %.3000s", want, rec.Body)
				}
			}
		})
	}
}

// The names that outside checks read are those of the contract.
func TestNightHasTheContractsNames(t *testing.T) {
	d := newDesk(t, testkit.ScenarioShop(t))
	var night map[string]any
	if err := json.Unmarshal(d.do(request{workshop.Lead, "POST", "/nights/2026-03-02", "", nil}).Body.Bytes(), &night); err != nil {
		t.Fatal(err)
	}
	first := func(list any) map[string]any {
		l, ok := list.([]any)
		if !ok || len(l) == 0 {
			t.Fatalf("%v is no list", list)
		}
		return l[0].(map[string]any)
	}
	purchase := first(night["purchases"])
	for _, tt := range []struct {
		in    map[string]any
		names string
	}{
		{night, "date wires purchases"},
		{first(night["wires"]), "wire on_hand_g allocated_g on_order_g booked_g weekly_usage_g adi cv2 method protection_days order_point_g run_out_on confidence alert suggest_kg why"},
		{purchase, "supplier order_by lines total"},
		{first(purchase["lines"]), "wire packs kg cost"},
	} {
		for _, name := range strings.Fields(tt.names) {
			if _, ok := tt.in[name]; !ok {
				t.Errorf("no %s in %v", name, tt.in)
			}
		}
	}
}
