package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

// TestEveryAnswerIsGuarded, whatever it is: a page, a refusal, a redirect, a download, an answer to another method.
func TestEveryAnswerIsGuarded(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	site := visit.Open(t, shop)
	owner, nobody := site.As(t, workshop.Owner), site.Visit(t)
	for what, tt := range map[string]struct {
		page   visit.Page
		status int
	}{
		"a page":             {owner.Get("/sets"), 200},
		"sent to sign in":    {nobody.Get("/people"), 303},
		"not found":          {owner.Get("/nowhere"), 404},
		"of another method":  {owner.Do("PUT", "/people", url.Values{}, nil), 405},
		"asked for options":  {owner.Do("OPTIONS", "/people", nil, nil), 405},
		"the head of a page": {owner.Do("HEAD", "/sets", nil, nil), 200},
		"of another site":    {owner.Do("POST", "/people", url.Values{}, map[string]string{"Sec-Fetch-Site": "cross-site"}), 403},
		"too large":          {owner.Post("/people", url.Values{"name": {strings.Repeat("n", 2<<20)}}), 413},
		"a download":         {owner.Get("/books/2026-02/books.xlsx"), 0},
		"wrong words":        {nobody.Post("/sign-in", credentials("nobody", "wrong words here", "")), 422},
	} {
		p := tt.page
		if tt.status != 0 && p.Status != tt.status {
			t.Errorf("%s is answered %d, want %d", what, p.Status, tt.status)
		}
		for header, want := range map[string]string{"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Referrer-Policy": "same-origin", "Cache-Control": "no-store",
			"Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin"} {
			if got := p.Header.Get(header); got != want {
				t.Errorf("%s: %s is %q, want %q", what, header, got, want)
			}
		}
		if policy := p.Header.Get("Content-Security-Policy"); !strings.HasPrefix(policy, "default-src 'none'") || strings.Contains(policy, "unsafe") {
			t.Errorf("%s has the policy %q", what, policy)
		}
		if p.Header.Get("Access-Control-Allow-Origin") != "" || p.Header.Get("Server") != "" {
			t.Errorf("%s says %v", what, p.Header)
		}
	}
	if p := owner.Do("HEAD", "/sets", nil, nil); p.Body != "" {
		t.Errorf("the head of a page has a body: %.80s", p.Body)
	}
}

// TestProgramsAnswersAreNotGuessed: what no page answers says what it is as well.
func TestProgramsAnswersAreNotGuessed(t *testing.T) {
	v := visit.Open(t, testkit.Shop(t)).Visit(t)
	for path, status := range map[string]int{"/api/v1/stock": 401, "/api/v1/nowhere": 404, "/api/v1/openapi.json": 200, "/healthz": 200, "/readyz": 200, "/metrics": 200} {
		if p := v.Get(path); p.Status != status || p.Header.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s: %d, %q", path, p.Status, p.Header.Get("X-Content-Type-Options"))
		}
	}
}

// TestDownloadsStayInTheirPlace: a path that climbs out of a folder finds nothing.
func TestDownloadsStayInTheirPlace(t *testing.T) {
	v := visit.Open(t, testkit.ScenarioShop(t)).As(t, workshop.Owner)
	for _, path := range []string{"/static/../go.mod", "/static/..%2fgo.mod", "/static/%2e%2e/%2e%2e/etc/passwd", "/static//etc/passwd", "/books/..%2f..%2fetc%2fpasswd/books.xlsx",
		"/days/..%2f..%2fetc/sheets.xlsx", "/static/app.css%00.js"} {
		p := v.Get(path)
		if p.Status == 200 && strings.HasPrefix(p.Header.Get("Content-Disposition"), "attachment") || strings.Contains(p.Body, "root:") || strings.Contains(p.Body, "module windingroom") {
			t.Errorf("%s is answered %d: %.80s", path, p.Status, p.Body)
		}
		if p.Status >= 500 || p.Status == 200 {
			t.Errorf("%s is answered %d", path, p.Status)
		}
	}
}

// TestCookieOverHTTP is not read by scripts, not sent by other sites' forms, and has no domain.
func TestCookieOverHTTP(t *testing.T) {
	shop := testkit.Shop(t)
	p := visit.Open(t, shop).Visit(t).Post("/sign-in", credentials(testkit.Person(t, shop, workshop.Lead), testkit.Password, "/"))
	for _, name := range []string{"windingroom", "windingroom-notice"} {
		if c := cookieOf(p, name); c == nil || !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Domain != "" || c.Path != "/" {
			t.Errorf("the cookie %s is %v", name, c)
		}
	}
}

// TestANewRoleCountsAtOnce in the session that goes on: what the person could do before is refused with the next request.
func TestANewRoleCountsAtOnce(t *testing.T) {
	shop := testkit.Shop(t)
	site := visit.Open(t, shop)
	books := site.As(t, workshop.Bookkeeper)
	books.Get("/audit").Wants(t, 200, nil, nil)
	name := testkit.Person(t, shop, workshop.Bookkeeper)
	if err := shop.ChangeRole(testkit.As(t.Context(), workshop.Owner), name, workshop.Winder); err != nil {
		t.Fatal(err)
	}
	books.Get("/audit").Wants(t, 403, []string{"needs the role bookkeeper or owner"}, nil)
}

// TestAuditIsForOwnersAndBookkeepers alone.
func TestAuditIsForOwnersAndBookkeepers(t *testing.T) {
	site := visit.Open(t, testkit.Shop(t))
	for role, want := range map[workshop.Role]int{workshop.Owner: 200, workshop.Bookkeeper: 200, workshop.Lead: 403, workshop.Winder: 403} {
		if p := site.As(t, role).Get("/audit"); p.Status != want {
			t.Errorf("a %s is answered %d", role, p.Status)
		}
	}
}
