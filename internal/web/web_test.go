package web_test

import (
	"bytes"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"windingroom/internal/httpd"
	"windingroom/internal/testkit"
	"windingroom/internal/web"
	"windingroom/internal/workshop"
)

// open serves the pages of a shop on loopback.
func open(t *testing.T, shop *workshop.Shop, log io.Writer) *httptest.Server {
	t.Helper()
	e := httpd.Engine(shop, slog.New(slog.NewJSONHandler(log, nil)), httpd.Build{Version: "test", Commit: "abc"})
	web.Register(e, shop, web.Options{
		NextNight: func() time.Time { return testkit.Day(t).Time().Add(25*time.Hour + 30*time.Minute).In(shop.Zone) },
		Jobs:      []string{"backup", "nightly check", "tidy"},
	})
	s := httptest.NewServer(e)
	t.Cleanup(s.Close)
	return s
}

// visitor is a browser without a window: it keeps cookies and does not go on by itself.
type visitor struct {
	t      *testing.T
	root   string
	client *http.Client
}

func visit(t *testing.T, s *httptest.Server) *visitor {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	stay := func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	return &visitor{t, s.URL, &http.Client{Jar: jar, CheckRedirect: stay}}
}

// page is what a visitor sees.
type page struct {
	status int
	header http.Header
	body   string
}

func (v *visitor) do(method, path string, form url.Values, headers map[string]string) page {
	v.t.Helper()
	req, err := http.NewRequestWithContext(v.t.Context(), method, v.root+path, strings.NewReader(form.Encode()))
	if err != nil {
		v.t.Fatal(err)
	}
	if form != nil {
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for k, value := range headers {
		req.Header.Set(k, value)
	}
	res, err := v.client.Do(req)
	if err != nil {
		v.t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		v.t.Fatal(err)
	}
	return page{res.StatusCode, res.Header, string(body)}
}

func (v *visitor) get(path string) page { v.t.Helper(); return v.do("GET", path, nil, nil) }

func (v *visitor) post(path string, form url.Values) page {
	v.t.Helper()
	if form == nil {
		form = url.Values{}
	}
	return v.do("POST", path, form, nil)
}

// signIn signs in with a fresh token of a role.
func (v *visitor) signIn(shop *workshop.Shop, role workshop.Role) {
	v.t.Helper()
	p := v.post("/sign-in", url.Values{"token": {testkit.Token(v.t, shop, role)}, "next": {"/"}})
	if p.status != http.StatusSeeOther || p.header.Get("Location") != "/" {
		v.t.Fatalf("signing in as %s: %d to %q: %s", role, p.status, p.header.Get("Location"), p.body)
	}
}

// wants checks a page.
func (p page) wants(t *testing.T, status int, has []string, hasNot []string) {
	t.Helper()
	if p.status != status {
		t.Fatalf("status %d, want %d: %.500s", p.status, status, p.body)
	}
	text := strings.Join(strings.Fields(p.body), " ")
	for _, want := range has {
		if !strings.Contains(text, want) {
			t.Errorf("lacks %q: %.3000s", want, text)
		}
	}
	for _, no := range hasNot {
		if strings.Contains(text, no) {
			t.Errorf("holds %q", no)
		}
	}
}

func TestSigningInAndOut(t *testing.T) {
	shop := testkit.Shop(t)
	var log bytes.Buffer
	v := visit(t, open(t, shop, &log))
	token := testkit.Token(t, shop, workshop.Lead)

	p := v.get("/?date=2026-03-05")
	if want := "/sign-in?next=" + url.QueryEscape("/?date=2026-03-05"); p.status != 303 || p.header.Get("Location") != want {
		t.Errorf("nobody is sent to %q with %d, want %q", p.header.Get("Location"), p.status, want)
	}
	v.get("/sign-in?next=%2F%3Fdate%3D2026-03-05").wants(t, 200, []string{`name="next" value="/?date=2026-03-05"`, `name="token"`}, []string{"Sign out"})
	v.post("/sign-in", url.Values{"token": {"wr_wrong"}, "next": {"/x"}}).wants(t, 422,
		[]string{"This token is not known", `value="/x"`, `role="alert"`}, []string{"wr_wrong"})

	p = v.post("/sign-in", url.Values{"token": {"  " + token + "\n"}, "next": {"/?date=2026-03-05"}})
	if p.status != 303 || p.header.Get("Location") != "/?date=2026-03-05" {
		t.Fatalf("signed in to %q with %d", p.header.Get("Location"), p.status)
	}
	cookie := p.header.Get("Set-Cookie")
	for _, want := range []string{"HttpOnly", "SameSite=Lax", "Path=/"} {
		if !strings.Contains(cookie, want) {
			t.Errorf("the cookie %q lacks %s", cookie, want)
		}
	}
	if strings.Contains(cookie, token) || strings.Contains(cookie, "Secure") {
		t.Errorf("the cookie of plain HTTP is %q", cookie)
	}
	v.get("/").wants(t, 200, []string{"token of lead<span class=\"role\">lead</span>", "Sign out", "Signed in as token of lead"}, nil)
	v.get("/").wants(t, 200, nil, []string{"Signed in as"}) // said once

	if p = v.post("/sign-out", nil); p.status != 303 || p.header.Get("Location") != "/sign-in" {
		t.Errorf("signed out to %q with %d", p.header.Get("Location"), p.status)
	}
	if p = v.get("/"); p.status != 303 {
		t.Errorf("signed out, yet Today answers %d", p.status)
	}
	if strings.Contains(log.String(), token) || strings.Contains(log.String(), "wr_wrong") {
		t.Error("the log holds a token")
	}
}

func TestSignInGoesNowhereElse(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit(t, open(t, shop, io.Discard))
	token := testkit.Token(t, shop, workshop.Winder)
	for _, next := range []string{"//elsewhere.example", "https://elsewhere.example", `/\elsewhere.example`, "", "/\t/elsewhere.example"} {
		p := v.post("/sign-in", url.Values{"token": {token}, "next": {next}})
		if p.header.Get("Location") != "/" {
			t.Errorf("next %q goes to %q", next, p.header.Get("Location"))
		}
	}
}

func TestCookieOverHTTPS(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit(t, open(t, shop, io.Discard))
	p := v.do("POST", "/sign-in", url.Values{"token": {testkit.Token(t, shop, workshop.Winder)}}, map[string]string{"X-Forwarded-Proto": "https"})
	if cookie := p.header.Get("Set-Cookie"); !strings.Contains(cookie, "; Secure") {
		t.Errorf("the cookie is %q", cookie)
	}
}

// TestTokenTakenBack ends a session when its token stands for nobody any more.
func TestTokenTakenBack(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit(t, open(t, shop, io.Discard))
	v.signIn(shop, workshop.Lead)
	v.get("/").wants(t, 200, []string{"Sign out"}, nil)
	shop.Store = tokenless{shop.Store}
	if p := v.get("/"); p.status != 303 {
		t.Errorf("still in with status %d", p.status)
	}
}

func TestTodayFromEmptyToReleased(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	v := visit(t, open(t, shop, io.Discard))
	v.signIn(shop, workshop.Lead)
	v.get("/").wants(t, 200,
		[]string{"Monday 2 March 2026", "Today", "No plan yet for this day", ">Propose<", "Wire that is short", "Eye protection on", "Thornmere String Works"},
		[]string{">Release<", "Batch sheets"})

	if p := v.post("/days/2026-03-02/release", nil); p.status != 303 || p.header.Get("Location") != "/?date=2026-03-02" {
		t.Fatalf("release before a proposal: %d to %q", p.status, p.header.Get("Location"))
	}
	v.get("/").wants(t, 200, []string{`class="notice wrong" role="alert"`, "No plan for 2026-03-02"}, nil)

	if p := v.post("/days/2026-03-02/propose", nil); p.status != 303 {
		t.Fatalf("propose: %d %s", p.status, p.body)
	}
	proposed := v.get("/?date=2026-03-02")
	proposed.wants(t, 200, []string{
		"Proposed: ", "strings to wind", ">Release<", ">Propose again<", "no sequence of these batches has less setup than", "bench-1", "long-bed",
		"The day by machine", `<svg class="day"`, "Spools of batch", "Not planned", "Nothing is allocated until the plan is released",
	}, []string{"Batch sheets<"})
	if !regexp.MustCompile(`<a href="#[^"]+"><title>`).MatchString(proposed.body) {
		t.Error("the bars do not lead to their batches")
	}
	if p := v.get("/days/2026-03-02/sheets.xlsx"); p.status != 409 || !strings.Contains(p.body, "not released yet") {
		t.Errorf("sheets of a proposal: %d", p.status)
	}

	if p := v.post("/days/2026-03-02/release", nil); p.status != 303 {
		t.Fatalf("release: %d %s", p.status, p.body)
	}
	v.get("/").wants(t, 200, []string{"Released: ", "Released by token of lead on 2 March at 06:30", `href="/days/2026-03-02/sheets.xlsx"`},
		[]string{">Release<", ">Propose<", ">Propose again<"})
	book := v.get("/days/2026-03-02/sheets.xlsx")
	if book.status != 200 || !strings.HasPrefix(book.body, "PK") ||
		book.header.Get("Content-Disposition") != `attachment; filename="batch-sheets-2026-03-02.xlsx"` {
		t.Errorf("sheets: %d %v", book.status, book.header)
	}
	if p := v.post("/days/2026-03-02/propose", nil); p.status != 303 {
		t.Errorf("propose a released day: %d", p.status)
	}
	v.get("/").wants(t, 200, []string{"it stands as it is"}, nil)
	v.get("/?date=2026-03-03").wants(t, 200, []string{"Another day", "Tuesday 3 March 2026", "No plan yet"}, nil)
}

func TestEmptyShopSaysWhatToDo(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit(t, open(t, shop, io.Discard))
	v.signIn(shop, workshop.Owner)
	v.post("/days/2026-03-02/propose", nil)
	v.get("/").wants(t, 200, []string{"Nothing to wind", "windingroom import FOLDER", "0 batches", ">Propose again<"}, []string{">Release<", "Wire that is short", "<svg"})
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
			v := visit(t, open(t, shop, io.Discard))
			v.signIn(shop, tt.role)
			if got := strings.Contains(v.get("/?date=2026-04-01").body, `action="/days/2026-04-01/propose"`); got != tt.plans {
				t.Errorf("offered to plan: %v, want %v", got, tt.plans)
			}
			v.post("/days/2026-04-01/propose", nil)
			said := v.get("/?date=2026-04-01").body
			if refused := strings.Contains(said, "Planning a day needs the role lead or owner"); refused == tt.plans {
				t.Errorf("refused: %v, want %v: %.2000s", refused, !tt.plans, said)
			}
			v.post("/days/2026-04-01/release", nil)
			said = v.get("/?date=2026-04-01").body
			if refused := strings.Contains(said, "Releasing a day needs the role lead or owner"); refused == tt.plans {
				t.Errorf("release refused: %v, want %v", refused, !tt.plans)
			}
		})
	}
}

func TestRefusals(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit(t, open(t, shop, io.Discard))
	v.signIn(shop, workshop.Owner)
	tests := []struct {
		name, method, path string
		headers            map[string]string
		status             int
		has                []string
	}{
		{"no such page", "GET", "/nowhere", nil, 404, []string{"Nothing here", "Go to Today"}},
		{"no such page of the API", "GET", "/api/v1/nowhere", nil, 404, []string{`"type":"/problems/no-such-address"`}},
		{"wrong method", "DELETE", "/sign-in", nil, 405, []string{"Not that way"}},
		{"no date", "GET", "/?date=2026-02-30", nil, 422, []string{"is not a date such as 2026-03-02"}},
		{"script as a date", "GET", "/?date=%3Cscript%3E", nil, 422, []string{"&lt;script&gt;"}},
		{"no date to plan", "POST", "/days/never/propose", nil, 422, []string{"is not a date"}},
		{"sheets of no day", "GET", "/days/2026-03-09/sheets.xlsx", nil, 404, []string{"Not found", "2026-03-09"}},
		{"form of another site", "POST", "/days/2026-03-02/propose", map[string]string{"Sec-Fetch-Site": "cross-site"}, 403, []string{"sent from another site"}},
		{"form of another origin", "POST", "/days/2026-03-02/propose", map[string]string{"Origin": "https://elsewhere.example"}, 403, []string{"sent from another site"}},
		{"sign-in from another site", "POST", "/sign-in", map[string]string{"Sec-Fetch-Site": "cross-site"}, 403, []string{"sent from another site"}},
		{"what a refusal means", "GET", "/problems/changed", nil, 200, []string{"propose it again"}},
		{"no such refusal", "GET", "/problems/nothing", nil, 404, []string{"Nothing here"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := v.do(tt.method, tt.path, url.Values{}, tt.headers)
			p.wants(t, tt.status, tt.has, []string{"<script>"})
		})
	}
}

func TestUnknownErrorSaysNothing(t *testing.T) {
	shop := testkit.Shop(t)
	var log bytes.Buffer
	v := visit(t, open(t, shop, &log))
	v.signIn(shop, workshop.Lead)
	whole := shop.Store
	for _, tt := range []struct {
		name  string
		store workshop.Store
		cause string
	}{
		{"error", failing{whole}, "dial tcp 10.0.0.7: secret"},
		{"panic", panicking{whole}, "panic: secret"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			shop.Store = tt.store
			p := v.post("/days/2026-03-02/propose", nil)
			p.wants(t, 500, []string{"Internal error", "Request " + p.header.Get("X-Request-Id")}, []string{"secret", "goroutine"})
			if !strings.Contains(log.String(), tt.cause) {
				t.Errorf("the log does not tell %q: %s", tt.cause, log.String())
			}
		})
	}
}

func TestEveryPageIsGuarded(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit(t, open(t, shop, io.Discard))
	for _, path := range []string{"/", "/sign-in", "/nowhere", "/problems/changed", "/static/nothing.css"} {
		p := v.get(path)
		policy := p.header.Get("Content-Security-Policy")
		if !strings.Contains(policy, "default-src 'none'") || strings.Contains(policy, "unsafe") {
			t.Errorf("%s has the policy %q", path, policy)
		}
		for header, want := range map[string]string{"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Referrer-Policy": "same-origin"} {
			if got := p.header.Get(header); got != want {
				t.Errorf("%s: %s is %q, want %q", path, header, got, want)
			}
		}
		if regexp.MustCompile(`<script>|<style|\sstyle=|\son[a-z]+=`).MatchString(p.body) {
			t.Errorf("%s holds a script or an inline style", path)
		}
	}
}

func TestAssetsAreKeptForEver(t *testing.T) {
	v := visit(t, open(t, testkit.Shop(t), io.Discard))
	addresses := regexp.MustCompile(`/static/[^"]+`).FindAllString(v.get("/sign-in").body, -1)
	if len(addresses) != 3 {
		t.Fatalf("the page uses %v", addresses)
	}
	for _, a := range addresses {
		if p := v.get(a); p.status != 200 || p.body == "" || !strings.Contains(p.header.Get("Cache-Control"), "immutable") {
			t.Errorf("%s: %d, %q", a, p.status, p.header.Get("Cache-Control"))
		}
	}
}
