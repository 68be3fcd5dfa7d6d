package web_test

import (
	"bytes"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

func TestSigningInAndOut(t *testing.T) {
	shop := testkit.Shop(t)
	var log bytes.Buffer
	v := visit.OpenLogged(t, shop, &log).Visit(t)
	token := testkit.Token(t, shop, workshop.Lead)

	p := v.Get("/?date=2026-03-05")
	if want := "/sign-in?next=" + url.QueryEscape("/?date=2026-03-05"); p.Status != 303 || p.To() != want {
		t.Errorf("nobody is sent to %q with %d, want %q", p.To(), p.Status, want)
	}
	v.Get("/sign-in?next=%2F%3Fdate%3D2026-03-05").Wants(t, 200, []string{`name="next" value="/?date=2026-03-05"`, `name="token"`}, []string{"Sign out"})
	v.Post("/sign-in", url.Values{"token": {"wr_wrong"}, "next": {"/x"}}).Wants(t, 422,
		[]string{"This token is not known", `value="/x"`, `role="alert"`}, []string{"wr_wrong"})

	p = v.Post("/sign-in", url.Values{"token": {"  " + token + "\n"}, "next": {"/?date=2026-03-05"}})
	if p.Status != 303 || p.To() != "/?date=2026-03-05" {
		t.Fatalf("signed in to %q with %d", p.To(), p.Status)
	}
	cookie := p.Header.Get("Set-Cookie")
	for _, want := range []string{"HttpOnly", "SameSite=Lax", "Path=/"} {
		if !strings.Contains(cookie, want) {
			t.Errorf("the cookie %q lacks %s", cookie, want)
		}
	}
	if strings.Contains(cookie, token) || strings.Contains(cookie, "Secure") {
		t.Errorf("the cookie of plain HTTP is %q", cookie)
	}
	v.Get("/").Wants(t, 200, []string{"token of lead<span class=\"role\">lead</span>", "Sign out", "Signed in as token of lead"}, nil)
	v.Get("/").Wants(t, 200, nil, []string{"Signed in as"}) // said once

	if p = v.Post("/sign-out", nil); p.Status != 303 || p.To() != "/sign-in" {
		t.Errorf("signed out to %q with %d", p.To(), p.Status)
	}
	if p = v.Get("/"); p.Status != 303 {
		t.Errorf("signed out, yet Today answers %d", p.Status)
	}
	if strings.Contains(log.String(), token) || strings.Contains(log.String(), "wr_wrong") {
		t.Error("the log holds a token")
	}
}

func TestSignInGoesNowhereElse(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit.Open(t, shop).Visit(t)
	token := testkit.Token(t, shop, workshop.Winder)
	for _, next := range []string{"//elsewhere.example", "https://elsewhere.example", `/\elsewhere.example`, "", "/\t/elsewhere.example"} {
		p := v.Post("/sign-in", url.Values{"token": {token}, "next": {next}})
		if p.To() != "/" {
			t.Errorf("next %q goes to %q", next, p.To())
		}
	}
}

func TestCookieOverHTTPS(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit.Open(t, shop).Visit(t)
	p := v.Do("POST", "/sign-in", url.Values{"token": {testkit.Token(t, shop, workshop.Winder)}}, map[string]string{"X-Forwarded-Proto": "https"})
	if cookie := p.Header.Get("Set-Cookie"); !strings.Contains(cookie, "; Secure") {
		t.Errorf("the cookie is %q", cookie)
	}
}

// TestTokenTakenBack ends a session when its token stands for nobody any more.
func TestTokenTakenBack(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit.Open(t, shop).Visit(t)
	v.SignIn(workshop.Lead)
	v.Get("/").Wants(t, 200, []string{"Sign out"}, nil)
	shop.Store = tokenless{shop.Store}
	if p := v.Get("/"); p.Status != 303 {
		t.Errorf("still in with status %d", p.Status)
	}
}

func TestRefusals(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit.Open(t, shop).Visit(t)
	v.SignIn(workshop.Owner)
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
			p := v.Do(tt.method, tt.path, url.Values{}, tt.headers)
			p.Wants(t, tt.status, tt.has, []string{"<script>"})
		})
	}
}

func TestUnknownErrorSaysNothing(t *testing.T) {
	shop := testkit.Shop(t)
	var log bytes.Buffer
	v := visit.OpenLogged(t, shop, &log).Visit(t)
	v.SignIn(workshop.Lead)
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
			p := v.Post("/days/2026-03-02/propose", nil)
			p.Wants(t, 500, []string{"Internal error", "Request " + p.Header.Get("X-Request-Id")}, []string{"secret", "goroutine"})
			if !strings.Contains(log.String(), tt.cause) {
				t.Errorf("the log does not tell %q: %s", tt.cause, log.String())
			}
		})
	}
}

func TestEveryPageIsGuarded(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit.Open(t, shop).Visit(t)
	for _, path := range []string{"/", "/sign-in", "/nowhere", "/problems/changed", "/static/nothing.css"} {
		p := v.Get(path)
		policy := p.Header.Get("Content-Security-Policy")
		if !strings.Contains(policy, "default-src 'none'") || strings.Contains(policy, "unsafe") {
			t.Errorf("%s has the policy %q", path, policy)
		}
		for header, want := range map[string]string{"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Referrer-Policy": "same-origin"} {
			if got := p.Header.Get(header); got != want {
				t.Errorf("%s: %s is %q, want %q", path, header, got, want)
			}
		}
		if regexp.MustCompile(`<script>|<style|\sstyle=|\son[a-z]+=`).MatchString(p.Body) {
			t.Errorf("%s holds a script or an inline style", path)
		}
	}
}

func TestAssetsAreKeptForEver(t *testing.T) {
	v := visit.Open(t, testkit.Shop(t)).Visit(t)
	addresses := regexp.MustCompile(`/static/[^"]+`).FindAllString(v.Get("/sign-in").Body, -1)
	if len(addresses) != 3 {
		t.Fatalf("the page uses %v", addresses)
	}
	for _, a := range addresses {
		if p := v.Get(a); p.Status != 200 || p.Body == "" || !strings.Contains(p.Header.Get("Cache-Control"), "immutable") {
			t.Errorf("%s: %d, %q", a, p.Status, p.Header.Get("Cache-Control"))
		}
	}
}
