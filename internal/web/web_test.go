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
