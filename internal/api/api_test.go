package api_test

import (
	"bytes"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"

	"github.com/gin-gonic/gin"

	"windingroom/internal/api"
	"windingroom/internal/httpd"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// desk is an API on a shop, with a token of each role and what it logged.
type desk struct {
	shop   *workshop.Shop
	engine *gin.Engine
	tokens map[workshop.Role]string
	log    *buffer
}

// buffer is a log that may be written by several requests.
type buffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (b *buffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.Write(p)
}

func (b *buffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.String()
}

func newDesk(t *testing.T, shop *workshop.Shop) *desk {
	t.Helper()
	d := &desk{shop: shop, log: &buffer{}, tokens: map[workshop.Role]string{}}
	for _, role := range workshop.Roles() {
		d.tokens[role] = testkit.Token(t, shop, role)
	}
	d.engine = httpd.Engine(shop, slog.New(slog.NewJSONHandler(d.log, nil)), httpd.Build{Version: "test"})
	api.Register(d.engine, shop)
	return d
}

// request is one request of a table.
type request struct {
	role    workshop.Role // empty for nobody
	method  string
	path    string // below the API's root
	body    string
	headers map[string]string
}

func (d *desk) do(r request) *httptest.ResponseRecorder {
	req := httptest.NewRequest(r.method, api.Root+r.path, strings.NewReader(r.body))
	if r.body != "" {
		req.Header.Set("Content-Type", "application/json")
	}
	if r.role != "" {
		req.Header.Set("Authorization", "Bearer "+d.tokens[r.role])
	}
	for k, v := range r.headers {
		req.Header.Set(k, v)
	}
	rec := httptest.NewRecorder()
	d.engine.ServeHTTP(rec, req)
	return rec
}

const build = `{"core": {"alloy": "music-wire", "section": "hex", "size_thou": 17.0},
	"layers": [{"alloy": "phosphor-bronze-8", "section": "round", "size_thou": 11.5, "lay_thou": null}],
	"ball_end": true, "scale_in": 25.0, "pitch": "A2", "practice": {}}`

func TestRequests(t *testing.T) {
	d := newDesk(t, testkit.ScenarioShop(t))
	const day = "/days/2026-03-02"
	// The rows run in their order: the plan is missing, proposed, then released.
	tests := []struct {
		name    string
		request request
		status  int
		has     []string
		hasNot  []string
	}{
		{"estimate without a token", request{"", "POST", "/estimate", build, nil}, 200,
			[]string{`"gauge_thou":`, `"tension_n":`, `"cautions":[`, `"ferromagnetic":`}, []string{"$schema"}},
		{"estimate of an unknown field", request{"", "POST", "/estimate", strings.Replace(build, `"scale_in"`, `"scale"`, 1), nil}, 422,
			[]string{`"location":"scale"`, `"/problems/invalid"`}, nil},
		{"estimate of nothing to wind", request{"", "POST", "/estimate", strings.Replace(build, "17.0", "0", 1), nil}, 422,
			[]string{`"location":"core.size_thou"`}, nil},
		{"estimate of an unknown alloy", request{"", "POST", "/estimate", strings.Replace(build, "music-wire", "unobtainium", 1), nil}, 422,
			[]string{`"location":"core.alloy"`}, nil},
		{"estimate of no JSON", request{"", "POST", "/estimate", `{"core":`, nil}, 422, []string{"is not JSON at line 1"}, nil},
		{"estimate of nothing", request{"", "POST", "/estimate", "", nil}, 400, []string{`"/problems/malformed"`}, nil},
		{"estimate too large", request{"", "POST", "/estimate", `{"x":"` + strings.Repeat("x", 2<<20) + `"}`, nil}, 413,
			[]string{`"/problems/too-large"`}, nil},
		{"estimate with a wrong token", request{"", "POST", "/estimate", build, bearer("wr_wrong")}, 401, []string{"sign-in-needed"}, nil},

		{"nobody", request{"", "GET", "/stock", "", nil}, 401, []string{`"/problems/sign-in-needed"`, `"status":401`}, nil},
		{"unknown token", request{"", "GET", "/stock", "", bearer("wr_wrong")}, 401, []string{"sign-in-needed"}, []string{"wr_wrong"}},
		{"not a bearer", request{"", "GET", "/stock", "", map[string]string{"Authorization": "Basic YTpi"}}, 401, []string{"sign-in-needed"}, nil},
		{"bearer in any case", request{"", "GET", "/stock", "", map[string]string{"Authorization": "bearer " + d.tokens[workshop.Winder]}}, 200,
			[]string{`"spools":[`}, nil},

		{"stock", request{workshop.Winder, "GET", "/stock", "", nil}, 200,
			[]string{`"currency":"EUR"`, `{"spool":"S401","wire":"MW-H-17.3C","lot":"CV2509-626"`, `"mass_mg":164280`, `"cost":9.45`,
				`"allocated_mg":0`, `"free_mg":164280`, `"remnant":false`}, nil},
		{"stock at a date", request{workshop.Winder, "GET", "/stock?at=2025-09-02", "", nil}, 200, []string{`"at":"2025-09-02"`}, nil},
		{"stock at no date", request{workshop.Winder, "GET", "/stock?at=2025-02-30", "", nil}, 422, []string{`"location":"query.at"`}, nil},
		{"stock with a slip", request{workshop.Winder, "GET", "/stock?att=2025-09-02", "", nil}, 422, []string{`"location":"query.att"`}, nil},
		{"movements", request{workshop.Bookkeeper, "GET", "/spools/S401/movements", "", nil}, 200,
			[]string{`"kind":"receipt"`, `"mass_mg":164280`, `"cost":9.45`, `"effective_on":"2025-09-01"`, `"person":"test owner"`}, []string{`"reverses"`}},
		{"movements of no spool", request{workshop.Bookkeeper, "GET", "/spools/S0/movements", "", nil}, 404, []string{`"/problems/not-found"`}, nil},
		{"order", request{workshop.Winder, "GET", "/orders/O-26-101", "", nil}, 200,
			[]string{`"order":"O-26-101"`, `"status":"confirmed"`, `"due_on":"2026-03-02"`, `"requirement":[{"wire":`, `"mass_g":`, `"shortages":[`, `"recipe":"P-10.5"`, `"open":5`}, nil},
		{"order in another case", request{workshop.Winder, "GET", "/orders/o-26-101", "", nil}, 200, []string{`"order":"O-26-101"`}, nil},
		{"no such order", request{workshop.Winder, "GET", "/orders/O-0", "", nil}, 404, []string{`order O-0: not found`}, nil},
		{"shortages", request{workshop.Winder, "GET", "/shortages", "", nil}, 200, []string{`"shortages":[{"wire":`, `"short_mg":`, `"orders":["O-26-`}, nil},
		{"verification", request{workshop.Bookkeeper, "GET", "/verification", "", nil}, 200, []string{`{"clean":true,"broken":[]}`}, nil},

		{"no plan yet", request{workshop.Winder, "GET", day, "", nil}, 404, []string{`no plan for 2026-03-02 yet`}, nil},
		{"no date", request{workshop.Winder, "GET", "/days/2026-13-01", "", nil}, 422, []string{`"location":"path.date"`}, nil},
		{"release before a proposal", request{workshop.Lead, "POST", day + "/release", "", nil}, 404, []string{"no plan for 2026-03-02"}, nil},
		{"propose as winder", request{workshop.Winder, "POST", day + "/proposal", "", nil}, 403,
			[]string{"needs the role lead or owner", `"/problems/forbidden"`}, nil},
		{"propose as bookkeeper", request{workshop.Bookkeeper, "POST", day + "/proposal", "", nil}, 403, []string{"lead or owner"}, nil},
		{"propose", request{workshop.Lead, "POST", day + "/proposal", "", nil}, 200,
			[]string{`"date":"2026-03-02","released":false,"machines":[{"machine":"bench-1","batches":[{"batch":`, `"strings_to_wind":`, `"draws":[{"spool":`,
				`"orders":[{"order":`, `"not_planned":[`, `"setup_bound_min":`, `"late_orders":[`}, []string{"null"}},
		{"sheets before release", request{workshop.Lead, "GET", day + "/sheets.xlsx", "", nil}, 409, []string{"not released yet"}, nil},
		{"release as winder", request{workshop.Winder, "POST", day + "/release", "", nil}, 403, []string{"lead or owner"}, nil},
		{"release", request{workshop.Owner, "POST", day + "/release", "", nil}, 200, []string{`"released":true`}, nil},
		{"release again", request{workshop.Lead, "POST", day + "/release", "", nil}, 200, []string{`"released":true`}, nil},
		{"day", request{workshop.Winder, "GET", day, "", nil}, 200, []string{`"released":true`, `"late_orders":[`}, nil},
		{"sheets", request{workshop.Winder, "GET", day + "/sheets.xlsx", "", nil}, 200, []string{"PK"}, nil},
		{"wrong method", request{workshop.Owner, "DELETE", day, "", nil}, 405, nil, nil},
		{"description", request{"", "GET", "/openapi.json", "", nil}, 200, []string{`"openapi":"3.1.0"`}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			rec := d.do(tt.request)
			if rec.Code != tt.status {
				t.Fatalf("status %d, want %d: %.600s", rec.Code, tt.status, rec.Body)
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
			if tt.status >= 400 && tt.status != 405 {
				if got := rec.Header().Get("Content-Type"); got != httpd.ProblemType {
					t.Errorf("refused as %q, want %q", got, httpd.ProblemType)
				}
				if id := rec.Header().Get("X-Request-Id"); id == "" || !strings.Contains(rec.Body.String(), id) {
					t.Errorf("the refusal does not name request %q: %s", id, rec.Body)
				}
			}
			if challenge := rec.Header().Get("WWW-Authenticate"); (tt.status == 401) != (challenge != "") {
				t.Errorf("WWW-Authenticate is %q with status %d", challenge, tt.status)
			}
		})
	}
	for role, token := range d.tokens {
		if strings.Contains(d.log.String(), token) {
			t.Errorf("the log holds the token of the %s", role)
		}
	}
	if strings.Contains(d.log.String(), "unobtainium") {
		t.Error("the log holds a part of a request's body")
	}
}

func bearer(token string) map[string]string {
	return map[string]string{"Authorization": "Bearer " + token}
}

// TestUnknownErrorSaysNothing closes the database under the API.
func TestUnknownErrorSaysNothing(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	d := newDesk(t, shop)
	shop.Store = broken{shop.Store}
	rec := d.do(request{workshop.Winder, "GET", "/stock", "", nil})
	if rec.Code != http.StatusInternalServerError {
		t.Fatalf("status %d, want 500: %s", rec.Code, rec.Body)
	}
	if strings.Contains(rec.Body.String(), "secret") || !strings.Contains(rec.Body.String(), `"request_id":`) {
		t.Errorf("answered %s", rec.Body)
	}
	if !strings.Contains(d.log.String(), "dial tcp 10.0.0.7: secret") {
		t.Errorf("the log does not tell the cause: %s", d.log)
	}
}

// TestPanicSaysNothing breaks the program under the API.
func TestPanicSaysNothing(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	d := newDesk(t, shop)
	shop.Store = panicking{shop.Store}
	for _, headers := range []map[string]string{nil, {"Idempotency-Key": "k"}} {
		rec := d.do(request{workshop.Lead, "POST", "/days/2026-03-02/release", "", headers})
		if rec.Code != http.StatusInternalServerError || strings.Contains(rec.Body.String(), "secret") || rec.Header().Get("Content-Type") != httpd.ProblemType {
			t.Errorf("status %d, %s", rec.Code, rec.Body)
		}
	}
	if !strings.Contains(d.log.String(), "secret panic") || !strings.Contains(d.log.String(), "goroutine") {
		t.Errorf("the log does not tell the cause: %s", d.log)
	}
}

// TestReleasedDay takes a day through the API: its orders are planned, and its workbook arrives whole.
func TestReleasedDay(t *testing.T) {
	d := newDesk(t, testkit.ScenarioShop(t))
	var plan api.Plan
	for _, path := range []string{"/days/2026-03-02/proposal", "/days/2026-03-02/release"} {
		rec := d.do(request{workshop.Lead, "POST", path, "", nil})
		if err := json.Unmarshal(rec.Body.Bytes(), &plan); rec.Code != 200 || err != nil {
			t.Fatal(path, rec.Code, err, rec.Body)
		}
	}
	served := plan.Machines[0].Batches[0].Orders[0].Order
	if rec := d.do(request{workshop.Winder, "GET", "/orders/" + served, "", nil}); !strings.Contains(rec.Body.String(), `"status":"planned"`) {
		t.Errorf("an order in a released batch reads %s", rec.Body)
	}
	server := httptest.NewServer(d.engine)
	defer server.Close()
	req, err := http.NewRequestWithContext(t.Context(), "GET", server.URL+api.Root+"/days/2026-03-02/sheets.xlsx", nil)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Authorization", "Bearer "+d.tokens[workshop.Winder])
	res, err := server.Client().Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil || res.StatusCode != 200 {
		t.Fatal(res.Status, err)
	}
	if want := `attachment; filename="batch-sheets-2026-03-02.xlsx"`; res.Header.Get("Content-Disposition") != want {
		t.Errorf("named %q, want %q", res.Header.Get("Content-Disposition"), want)
	}
	if !bytes.HasPrefix(body, []byte("PK")) || !bytes.Contains(body, []byte("PK\x05\x06")) {
		t.Errorf("the workbook of %d bytes is not a whole zip file", len(body))
	}
}
