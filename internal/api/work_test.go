package api_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"windingroom/internal/api"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

const newOrder = `{"order": "N-1", "ordered_on": "2026-02-20", "due_on": "2026-03-20", "customer": "Ada Quill",
	"lines": [{"line": 1, "quantity": 2, "strings": [{"position": 1, "recipe": "P-10.5", "scale_in": 25.5, "pitch": "E4"}]}]}`

// TestOrderLife takes one order from a draft to its lots; the rows run in their order.
func TestOrderLife(t *testing.T) {
	d := newDesk(t, testkit.ScenarioShop(t))
	const day = "/days/2026-03-02"
	replaced := func(old, new string) string { return strings.Replace(newOrder, old, new, 1) }
	var batch string
	tests := []struct {
		name    string
		request request
		status  int
		has     []string
	}{
		{"as winder", request{workshop.Winder, "POST", "/orders", newOrder, nil}, 403, []string{"lead or owner"}},
		{"no such recipe", request{workshop.Lead, "POST", "/orders", replaced("P-10.5", "P-99"), nil}, 422, []string{`"location":"lines[0].strings[0].recipe"`, "recipe P-99 is unknown"}},
		{"no date", request{workshop.Lead, "POST", "/orders", replaced("2026-02-20", "20.2.2026"), nil}, 422, []string{`"location":"ordered_on"`}},
		{"nobody ordered", request{workshop.Lead, "POST", "/orders", replaced("Ada Quill", ""), nil}, 422, []string{`"location":"customer"`, "who ordered"}},
		{"no lines", request{workshop.Lead, "POST", "/orders", `{"order":"N-1","ordered_on":"2026-02-20","due_on":"2026-03-20","customer":"A","lines":[]}`, nil}, 422, []string{`"location":"lines"`}},
		{"draft", request{workshop.Lead, "POST", "/orders", newOrder, nil}, 201, []string{`"status":"draft"`, `"open":2`, `"allocated_mg":0`, `"available_to_promise_mg":`}},
		{"again", request{workshop.Lead, "POST", "/orders", newOrder, nil}, 201, []string{`"status":"draft"`}},
		{"another of that code", request{workshop.Lead, "POST", "/orders", replaced(`"quantity": 2`, `"quantity": 3`), nil}, 409, []string{`"/problems/already-there"`}},
		{"changed", request{workshop.Lead, "PUT", "/orders/N-1", replaced(`"quantity": 2`, `"quantity": 3`), nil}, 200, []string{`"quantity":3`, `"status":"draft"`}},
		{"changed under another code", request{workshop.Lead, "PUT", "/orders/N-1", replaced("N-1", "N-2"), nil}, 422, []string{`"location":"order"`}},
		{"confirmed", request{workshop.Lead, "POST", "/orders/n-1/confirm", "", nil}, 200, []string{`"status":"confirmed"`, `"short_mg":0`, `"available_on":"2026-03-02"`}},
		{"confirmed again", request{workshop.Lead, "POST", "/orders/N-1/confirm", "{}", nil}, 200, []string{`"status":"confirmed"`}},
		{"shipped with nothing", request{workshop.Lead, "POST", "/orders/N-1/ship", `{"reason":"now"}`, nil}, 409, []string{`"/problems/stage"`, "none of its 3 strings is wound"}},
		{"no such order", request{workshop.Lead, "POST", "/orders/N-9/confirm", "", nil}, 404, nil},
		{"plan", request{workshop.Lead, "POST", day + "/proposal", "", nil}, 200, nil},
		{"release", request{workshop.Lead, "POST", day + "/release", "", nil}, 200, nil},
		{"cancelled", request{workshop.Lead, "POST", "/orders/N-1/cancel", `{"reason":"too late"}`, nil}, 200, []string{`"status":"cancelled"`}},
		{"confirmed when cancelled", request{workshop.Lead, "POST", "/orders/N-1/confirm", "", nil}, 409, []string{`"/problems/stage"`}},
		{"yield before results", request{workshop.Winder, "GET", "/recipes/P-10.5/learned", "", nil}, 200, []string{`"stated_yield":0.985,"yield":0.985,`}},
		{"of no recipe", request{workshop.Winder, "GET", "/recipes/P-0/learned", "", nil}, 404, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { d.expect(t, tt.request, tt.status, tt.has...) })
	}
	batch = d.firstBatch(t, day)
	results := "/batches/" + batch + "/results"
	n := 0
	post := func(role workshop.Role, body string, status int, key string, has ...string) {
		n++
		var headers map[string]string
		if key != "" {
			headers = map[string]string{"Idempotency-Key": key}
		}
		t.Run(fmt.Sprintf("result %d", n), func(t *testing.T) { d.expect(t, request{role, "POST", results, body, headers}, status, has...) })
	}
	post(workshop.Bookkeeper, `{"good":1,"scrapped":0,"minutes":2,"person":"Ines"}`, 403, "")
	post(workshop.Winder, `{"good":-1,"scrapped":0,"minutes":2,"person":"Ines"}`, 422, "", `"location":"good"`)
	post(workshop.Winder, `{"good":1,"scrapped":0,"minutes":2,"person":""}`, 422, "", `"location":"person"`)
	post(workshop.Winder, `{"good":1,"scrapped":0,"minutes":2,"person":"Ines","wound_on":"tomorrow"}`, 422, "", `"location":"wound_on"`)
	post(workshop.Winder, `{"good":1,"scrapped":0,"minutes":2,"person":"Ines","draws":[{"spool":"S0","strings":1}]}`, 422, "", `"location":"spools"`, "not found")
	post(workshop.Winder, `{"good":1,"scrapped":0,"minutes":2.5,"person":"Ines","continues":true}`, 200, "k", `"result":1`, `"status":"released"`, `"minutes":2.5`, `"unchanged":false`, `"movement":`)
	post(workshop.Winder, `{"good":1,"scrapped":0,"minutes":2.5,"person":"Ines","continues":true}`, 200, "k", `"result":1`)
	post(workshop.Winder, `{"good":1,"scrapped":1,"minutes":2,"person":"Ines"}`, 200, "k2", `"result":2`, `"status":"finished"`)
	post(workshop.Winder, `{"good":2,"scrapped":1,"minutes":2,"person":"Ines"}`, 409, "k3", `"/problems/stage"`, "undo it first")
	for _, tt := range []struct {
		name    string
		request request
		status  int
		has     []string
	}{
		{"the batch", request{workshop.Winder, "GET", "/batches/" + batch, "", nil}, 200, []string{`"status":"finished"`, `"results":[{`, `"result":2`}},
		{"undone without a reason", request{workshop.Winder, "POST", results + "/2/reversal", `{"reason":""}`, nil}, 422, []string{`"location":"reason"`}},
		{"the first before the second", request{workshop.Winder, "POST", results + "/1/reversal", `{"reason":"wrong"}`, nil}, 409, []string{"undo result 2 first"}},
		{"undone", request{workshop.Winder, "POST", results + "/2/reversal", `{"reason":"wrong"}`, nil}, 200, []string{`"status":"released"`, `"undone":{"at":`, `"reason":"wrong"`}},
		{"result zero", request{workshop.Winder, "POST", results + "/0/reversal", `{"reason":"wrong"}`, nil}, 422, []string{`"location":"path.result"`}},
		{"finished stock", request{workshop.Winder, "GET", "/finished", "", nil}, 200, []string{`"strings":[`}},
		{"trace of no order", request{workshop.Winder, "GET", "/trace/order/N-9", "", nil}, 404, nil},
		{"trace of no lot", request{workshop.Winder, "GET", "/trace/lot/none", "", nil}, 404, []string{"lot none"}},
		{"sound", request{workshop.Winder, "GET", "/verification", "", nil}, 200, []string{`"clean":true`}},
	} {
		t.Run(tt.name, func(t *testing.T) { d.expect(t, tt.request, tt.status, tt.has...) })
	}
}

// expect does a request and looks at its answer.
func (d *desk) expect(t *testing.T, r request, status int, has ...string) string {
	t.Helper()
	rec := d.do(r)
	if rec.Code != status {
		t.Fatalf("status %d, want %d: %.800s", rec.Code, status, rec.Body)
	}
	for _, want := range has {
		if !strings.Contains(rec.Body.String(), want) {
			t.Errorf("lacks %q: %.1500s", want, rec.Body)
		}
	}
	return rec.Body.String()
}

func (d *desk) firstBatch(t *testing.T, day string) string {
	t.Helper()
	var plan api.Plan
	if err := json.Unmarshal([]byte(d.expect(t, request{workshop.Winder, "GET", day, "", nil}, 200)), &plan); err != nil {
		t.Fatal(err)
	}
	return plan.Machines[0].Batches[0].Batch
}

// TestTracesBothWays winds a batch and follows its strings to a lot and back.
func TestTracesBothWays(t *testing.T) {
	d := newDesk(t, testkit.ScenarioShop(t))
	const day = "/days/2026-03-02"
	for _, act := range []string{"/proposal", "/release"} {
		d.expect(t, request{workshop.Lead, "POST", day + act, "", nil}, 200)
	}
	batch := d.firstBatch(t, day)
	var posted api.Result
	body := d.expect(t, request{workshop.Winder, "POST", "/batches/" + batch + "/results", `{"good":1,"scrapped":0,"minutes":2,"person":"Ines"}`, nil}, 200)
	if err := json.Unmarshal([]byte(body), &posted); err != nil || len(posted.Orders) == 0 {
		t.Fatal(err, body)
	}
	var order api.OrderTrace
	body = d.expect(t, request{workshop.Bookkeeper, "GET", "/trace/order/" + posted.Orders[0].Order, "", nil}, 200)
	if err := json.Unmarshal([]byte(body), &order); err != nil || len(order.Strings) == 0 || len(order.Strings[0].Spools) == 0 {
		t.Fatal(err, body)
	}
	from := order.Strings[0].Spools[0]
	if order.Strings[0].Batch != batch || from.Spool != posted.Draws[0].Spool || from.MassMg <= 0 || from.Supplier == "" {
		t.Errorf("traced to %+v", order.Strings[0])
	}
	var lot api.LotTrace
	body = d.expect(t, request{workshop.Bookkeeper, "GET", "/trace/lot/" + from.Lot, "", nil}, 200)
	if err := json.Unmarshal([]byte(body), &lot); err != nil {
		t.Fatal(err)
	}
	found := false
	for _, o := range lot.Orders {
		found = found || o.Order == order.Order && o.MassMg >= from.MassMg
	}
	if !found || len(lot.Batches) == 0 || lot.Spools[0].DrawnMg != posted.Draws[0].MassMg {
		t.Errorf("the lot does not lead back to %s: %s", order.Order, body)
	}
	if book := d.expect(t, request{workshop.Bookkeeper, "GET", "/trace/lot/" + from.Lot + "/recall.xlsx", "", nil}, 200); !strings.HasPrefix(book, "PK") {
		t.Errorf("the recall list begins with %.20q", book)
	}
}
