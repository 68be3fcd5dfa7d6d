package api_test

import (
	"encoding/json"
	"strings"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// A winder's evening and a bookkeeper's morning over the API; the rows run in their order.
func TestShelf(t *testing.T) {
	d := newDesk(t, testkit.ScenarioShop(t))
	const spool = `{"spool": "N-1", "wire": "mw-h-13.0", "lot": "LX", "received_on": "2026-03-01", "gross_g": 500, "tare_g": 120.5, "cost": 21.40, "location": "rack C1"}`
	key := func(k string) map[string]string { return map[string]string{"Idempotency-Key": k} }
	const winder, lead, keeper, owner = workshop.Winder, workshop.Lead, workshop.Bookkeeper, workshop.Owner
	tests := []struct {
		name    string
		request request
		status  int
		has     []string
		hasNot  []string
	}{
		{"receive as winder", request{winder, "POST", "/spools", spool, nil}, 403, []string{"receiving wire needs the role"}, nil},
		{"receive", request{keeper, "POST", "/spools", spool, key("r")}, 201,
			[]string{`"spool":"N-1"`, `"wire":"MW-H-13.0"`, `"mass_mg":379500`, `"cost":21.40`, `"state":"available"`, `"location":"rack C1"`}, nil},
		{"receive again", request{lead, "POST", "/spools", strings.ReplaceAll(strings.ReplaceAll(spool, "21.40", `"21.40"`), "500", `"500.000"`), nil}, 200,
			[]string{`"spool":"N-1"`, `"mass_mg":379500`}, nil},
		{"receive with another cost", request{keeper, "POST", "/spools", strings.ReplaceAll(spool, "21.40", "21.41"), nil}, 422,
			[]string{`"location":"cost"`, "already here with 21.40"}, nil},
		{"receive with mistakes", request{keeper, "POST", "/spools",
			`{"spool": "N 2", "wire": "nope", "lot": " ", "received_on": "2026-02-30", "gross_g": -1, "tare_g": "x", "cost": 1.234}`, nil}, 422,
			[]string{`"location":"spool"`, `"location":"lot"`, `"location":"received_on"`, `"location":"gross_g"`, `"location":"tare_g"`, `"location":"cost"`, `"location":"wire"`}, nil},
		{"receive without a lot", request{keeper, "POST", "/spools", `{"spool": "N-2", "wire": "MW-H-13.0", "gross_g": 500, "tare_g": 100}`, nil}, 422, []string{`lot`}, nil},
		{"receive with a slip", request{keeper, "POST", "/spools", strings.ReplaceAll(spool, `"lot"`, `"lott"`), nil}, 422, []string{`lott`}, nil},
		{"deliver", request{keeper, "POST", "/deliveries", `{"cost": 10.01, "freight": "0.50", "spools": [
			{"spool": "N-3", "wire": "MW-H-13.0", "lot": "LY", "gross_g": 300, "tare_g": 100}, {"spool": "N-4", "wire": "NI-R-14.0", "lot": "LZ", "gross_g": 200, "tare_g": 100}]}`, nil}, 201,
			[]string{`"delivery":"D260302-1"`, `"changed":true`, `"cost":10.01`, `"freight":0.50`, `"spool":"N-3"`, `"cost":7.00`, `"cost":3.51`}, nil},
		{"deliver with a mistake", request{keeper, "POST", "/deliveries", `{"cost": 10, "spools": [
			{"spool": "N-5", "wire": "MW-H-13.0", "lot": "LY", "gross_g": 300, "tare_g": 100}, {"spool": "N-6", "wire": "nope", "lot": "LZ", "gross_g": 200, "tare_g": 100}]}`, nil}, 422,
			[]string{`"location":"spools[1].wire"`}, nil},
		{"deliver nothing", request{keeper, "POST", "/deliveries", `{"cost": 10, "spools": []}`, nil}, 422, []string{`"location":"spools"`}, nil},

		{"weigh", request{winder, "POST", "/spools/n-1/weighings", `{"gross_g": 499.9, "note": "first look", "confirm": false}`, key("w")}, 200,
			[]string{`"movement":{"movement":`, `"kind":"weigh-back difference"`, `"mass_mg":-100`, `"mass_mg":379400`, `"book_mg":379500`, `"difference_mg":-100`,
				`"uncertainty_mg":116`, `"noise":true`, `"shares":[]`, `"short":[]`, `"reason":"first look"`}, nil},
		{"weigh under the same key", request{winder, "POST", "/spools/n-1/weighings", `{"gross_g": 499.9, "note": "first look", "confirm": false}`, key("w")}, 200,
			[]string{`"mass_mg":-100`}, nil},
		{"weigh with other words under the same key", request{winder, "POST", "/spools/n-1/weighings", `{"gross_g": 499.8}`, key("w")}, 422, []string{`key-reused`}, nil},
		{"weigh a surprise", request{winder, "POST", "/spools/N-1/weighings", `{"gross_g": "400"}`, nil}, 409,
			[]string{`"/problems/surprising-weighing"`, "99.9 g less than the books say", "weigh it a second time (second)"}, nil},
		{"confirm as winder", request{winder, "POST", "/spools/N-1/weighings", `{"gross_g": 400, "confirm": true}`, nil}, 403, []string{"lead or owner"}, nil},
		{"weigh twice", request{winder, "POST", "/spools/N-1/weighings", `{"gross_g": 400, "second_g": 400.1}`, nil}, 200, []string{`"surprise":"much is gone"`, `"mass_mg":279500`}, nil},
		{"weigh what cannot be", request{owner, "POST", "/spools/N-1/weighings", `{"gross_g": 600, "confirm": true}`, nil}, 409, []string{`"/problems/impossible-weighing"`}, nil},
		{"weigh in the future", request{winder, "POST", "/spools/N-1/weighings", `{"gross_g": 400, "at": "2026-03-02T06:30:01Z"}`, nil}, 422, []string{`"location":"at"`}, nil},
		{"weigh before the receipt", request{winder, "POST", "/spools/N-1/weighings", `{"gross_g": 400, "at": "2026-02-28T23:59:59Z"}`, nil}, 422, []string{`"location":"at"`}, nil},
		{"weigh at no time", request{winder, "POST", "/spools/N-1/weighings", `{"gross_g": 400, "at": "yesterday"}`, nil}, 422, []string{`"location":"at"`, "RFC 3339"}, nil},
		{"weigh nothing", request{winder, "POST", "/spools/N-1/weighings", `{}`, nil}, 422, []string{`gross_g`}, nil},
		{"weigh words", request{winder, "POST", "/spools/N-1/weighings", `{"gross_g": "heavy"}`, nil}, 422, []string{`"location":"gross_g"`}, nil},
		{"weigh less than nothing", request{winder, "POST", "/spools/N-1/weighings", `{"gross_g": -1}`, nil}, 422, []string{`"location":"gross_g"`}, nil},
		{"weigh no spool", request{winder, "POST", "/spools/N-0/weighings", `{"gross_g": 1}`, nil}, 404, []string{"spool N-0"}, nil},
		{"count", request{keeper, "POST", "/spools/N-1/counts", `{"gross_g": 4.001e2}`, nil}, 200, []string{`"kind":"count difference"`, `"mass_mg":279600`}, nil},

		{"place", request{winder, "POST", "/spools/N-1/place", `{"location": "bench 3"}`, nil}, 200, []string{`"location":"bench 3"`}, nil},
		{"place nowhere", request{winder, "POST", "/spools/N-1/place", `{"location": ""}`, nil}, 422, []string{`"location":"location"`}, nil},
		{"quarantine without a reason", request{lead, "POST", "/spools/N-1/quarantine", `{"reason": " "}`, nil}, 422, []string{`"location":"reason"`}, nil},
		{"quarantine", request{lead, "POST", "/spools/N-1/quarantine", `{"reason": "rust"}`, nil}, 200, []string{`"state":"quarantined"`}, nil},
		{"stock tells", request{winder, "GET", "/stock", "", nil}, 200, []string{`"state":"quarantined"`}, nil},
		{"release", request{lead, "POST", "/spools/N-1/release", `{"reason": "cleaned"}`, nil}, 200, []string{`"state":"available"`}, nil},
		{"return a part", request{keeper, "POST", "/spools/N-1/return", `{"mass_g": 79.6, "reason": "kinked"}`, key("x")}, 200,
			[]string{`"kind":"return to supplier"`, `"mass_mg":-79600`, `"mass_mg":200000`}, nil},
		{"return nothing", request{keeper, "POST", "/spools/N-1/return", `{"mass_g": 0, "reason": "kinked"}`, nil}, 422, []string{`"location":"mass_g"`}, nil},
		{"return too much", request{keeper, "POST", "/spools/N-1/return", `{"mass_g": 200.001, "reason": "kinked"}`, nil}, 409, []string{`"/problems/ledger"`}, nil},
		{"write off the rest", request{lead, "POST", "/spools/N-1/write-off", `{"reason": "rust"}`, nil}, 200, []string{`"kind":"write-off"`, `"mass_mg":0`}, nil},
		{"reverse no movement", request{keeper, "POST", "/movements/99999/reversal", `{"reason": "x"}`, nil}, 404, []string{"movement 99999"}, nil},
		{"reverse a text", request{keeper, "POST", "/movements/x/reversal", `{"reason": "x"}`, nil}, 422, []string{`"location":"path.movement"`}, nil},

		{"remnants", request{winder, "GET", "/remnants", "", nil}, 200, []string{`"alloys":[{"alloy":`, `"usable_end_mg":`, `"remnant":true`}, nil},
		{"counts today", request{winder, "GET", "/counts/today", "", nil}, 200, []string{`"date":"2026-03-02"`, `"spools":[`}, []string{"null"}},
		{"counts of another day", request{winder, "GET", "/counts/today?date=2026-12-31", "", nil}, 200, []string{`"class":"A"`, `"at_risk":`, `"reasons":["`, `"overdue_days":`}, nil},
		{"accuracy", request{keeper, "GET", "/counts/accuracy?from=2026-01-01&to=2026-12-31", "", nil}, 200,
			[]string{`"all":{"hits":2,"records":3,"share":0.6666666666666666}`, `"classes":[{"class":"A"`, `"months":[{"month":"2026-03"`}, nil},
		{"accuracy of nothing", request{keeper, "GET", "/counts/accuracy?from=2025-01-01&to=2025-01-02", "", nil}, 200, []string{`"all":{"hits":0,"records":0}`, `"months":[]`}, nil},
		{"accuracy backwards", request{keeper, "GET", "/counts/accuracy?from=2025-01-03&to=2025-01-02", "", nil}, 422, []string{`"location":"to"`}, nil},
		{"tare", request{winder, "POST", "/spool-types/DIN-160/tares", `{"gross_g": 200.4}`, nil}, 200, []string{`"type":"DIN-160"`, `"tare_mg":200400`, `"weighed":1`}, nil},
		{"tare that is none", request{winder, "POST", "/spool-types/din-160/tares", `{"gross_g": 300}`, nil}, 409, []string{`"/problems/doubtful-tare"`}, nil},
		{"types", request{winder, "GET", "/spool-types", "", nil}, 200, []string{`{"types":[{"type":"DIN-160"`}, nil},
		{"verification", request{keeper, "GET", "/verification", "", nil}, 200, []string{`{"clean":true,"broken":[]}`}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			rec := d.do(tt.request)
			if rec.Code != tt.status {
				t.Fatalf("status %d, want %d: %.800s", rec.Code, tt.status, rec.Body)
			}
			for _, want := range tt.has {
				if !strings.Contains(rec.Body.String(), want) {
					t.Errorf("lacks %q: %.1200s", want, rec.Body)
				}
			}
			for _, no := range tt.hasNot {
				if strings.Contains(rec.Body.String(), no) {
					t.Errorf("holds %q: %.1200s", no, rec.Body)
				}
			}
		})
	}
}

// The answer of a weighing, field by field.
func TestWeighingAnswer(t *testing.T) {
	d := newDesk(t, testkit.ScenarioShop(t))
	rec := d.do(request{workshop.Winder, "POST", "/spools/S401/weighings", `{"gross_g": 279.03}`, nil})
	var got map[string]any
	if err := json.Unmarshal(rec.Body.Bytes(), &got); err != nil || rec.Code != 200 {
		t.Fatal(rec.Code, err, rec.Body)
	}
	movement, _ := got["movement"].(map[string]any)
	if movement["mass_mg"] != -1000.0 || movement["cost"] != -0.06 || movement["kind"] != "weigh-back difference" || movement["effective_at"] != "2026-03-02T06:30:00Z" {
		t.Errorf("movement %v", movement)
	}
	for field, want := range map[string]any{"mass_mg": 163280.0, "gross_mg": 279030.0, "tare_mg": 115750.0, "book_mg": 164280.0, "net_mg": 163280.0,
		"difference_mg": -1000.0, "uncertainty_mg": 116.0, "noise": false} {
		if got[field] != want {
			t.Errorf("%s is %v, want %v", field, got[field], want)
		}
	}
	if shares, ok := got["shares"].([]any); !ok || len(shares) != 0 {
		t.Errorf("shares %v", got["shares"])
	}
}
