package web_test

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

func credentials(name, password, next string) url.Values {
	return url.Values{"name": {name}, "password": {password}, "next": {next}}
}

// cookieOf gives the cookie of a name that a page sets, nil where it sets none.
func cookieOf(p visit.Page, name string) *http.Cookie {
	for _, line := range p.Header.Values("Set-Cookie") {
		if c, err := http.ParseSetCookie(line); err == nil && c.Name == name {
			return c
		}
	}
	return nil
}

func TestSigningInAndOut(t *testing.T) {
	shop := testkit.Shop(t)
	var log bytes.Buffer
	v := visit.OpenLogged(t, shop, &log).Visit(t)
	name := testkit.Person(t, shop, workshop.Lead)

	p := v.Get("/?date=2026-03-05")
	if want := "/sign-in?next=" + url.QueryEscape("/?date=2026-03-05"); p.Status != 303 || p.To() != want {
		t.Errorf("nobody is sent to %q with %d, want %q", p.To(), p.Status, want)
	}
	v.Get("/sign-in?next=%2F%3Fdate%3D2026-03-05").Wants(t, 200, []string{`name="next" value="/?date=2026-03-05"`, `type="password"`, `autocomplete="username"`,
		`autocomplete="current-password"`}, []string{"Sign out"})
	v.Post("/sign-in", credentials("<b>Ann", "wrong words here", "/x")).Wants(t, 422,
		[]string{"The name or the password is not right", `name="next" value="/x"`, `role="alert"`, `value="&lt;b&gt;Ann"`}, []string{"wrong words"})

	p = v.Post("/sign-in", credentials(" TEST lead ", testkit.Password, "/?date=2026-03-05"))
	if p.Status != 303 || p.To() != "/?date=2026-03-05" {
		t.Fatalf("signed in to %q with %d", p.To(), p.Status)
	}
	c := cookieOf(p, "windingroom")
	if c == nil || !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Path != "/" || c.Secure || c.MaxAge != int(workshop.SessionLife/time.Second) {
		t.Fatalf("the cookie of plain HTTP is %+v", c)
	}
	v.Get("/").Wants(t, 200, []string{name + `<span class="role">lead</span>`, "Sign out", "Signed in as " + name}, nil)
	v.Get("/").Wants(t, 200, nil, []string{"Signed in as"}) // said once

	if p = v.Post("/sign-out", nil); p.Status != 303 || p.To() != "/sign-in" || cookieOf(p, "windingroom").MaxAge >= 0 {
		t.Errorf("signed out to %q with %d: %v", p.To(), p.Status, p.Header)
	}
	if p = v.Get("/"); p.Status != 303 {
		t.Errorf("signed out, yet Today answers %d", p.Status)
	}
	if p = v.Do("GET", "/", nil, map[string]string{"Cookie": "windingroom=" + c.Value}); p.Status != 303 {
		t.Errorf("the token that was signed out still answers %d", p.Status)
	}
	for _, secret := range []string{c.Value, testkit.Password, "wrong words", "argon2"} {
		if strings.Contains(log.String(), secret) {
			t.Errorf("the log holds %q", secret)
		}
	}
}

func TestFirstOwnerIsMadeAtTheTerminal(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit.Open(t, shop).Visit(t)
	v.Get("/sign-in").Wants(t, 200, []string{"Nobody can sign in as owner yet", "windingroom user add NAME --role owner"}, nil)
	testkit.Person(t, shop, workshop.Lead)
	v.Get("/sign-in").Wants(t, 200, []string{"Nobody can sign in as owner yet"}, nil)
	testkit.Person(t, shop, workshop.Owner)
	v.Get("/sign-in").Wants(t, 200, nil, []string{"Nobody can sign in", "windingroom user"})
}

func TestSignInGoesNowhereElse(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit.Open(t, shop).Visit(t)
	name := testkit.Person(t, shop, workshop.Winder)
	for _, next := range []string{"//elsewhere.example", "https://elsewhere.example", `/\elsewhere.example`, "", "/\t/elsewhere.example", "/\n/elsewhere.example", "javascript:alert(1)",
		"///elsewhere.example", "elsewhere.example", "/\x00/elsewhere.example", "\\\\elsewhere.example", "http:elsewhere.example", "/\x7f/elsewhere.example"} {
		p := v.Post("/sign-in", credentials(name, testkit.Password, next))
		if p.Status != 303 || p.To() != "/" {
			t.Errorf("next %q goes to %q", next, p.To())
		}
	}
}

func TestCookieOverHTTPS(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit.Open(t, shop).Visit(t)
	https := map[string]string{"X-Forwarded-Proto": "https"}
	p := v.Do("POST", "/sign-in", credentials(testkit.Person(t, shop, workshop.Winder), testkit.Password, "/"), https)
	if c := cookieOf(p, "__Host-windingroom"); c == nil || !c.Secure || c.Path != "/" || c.Domain != "" {
		t.Errorf("the cookie is %v", c)
	}
	if hsts := p.Header.Get("Strict-Transport-Security"); hsts == "" {
		t.Error("the browser is not told to stay with HTTPS")
	}
	if hsts := v.Get("/sign-in").Header.Get("Strict-Transport-Security"); hsts != "" {
		t.Errorf("plain HTTP says %q", hsts)
	}
}

// TestPlantedSessionIsWorthNothing: whoever plants a token in a browser does not get the session that begins there, and the session that
// was there ends.
func TestPlantedSessionIsWorthNothing(t *testing.T) {
	shop := testkit.Shop(t)
	site := visit.Open(t, shop)
	attacker, victim := site.Visit(t), site.Visit(t)
	in := attacker.Post("/sign-in", credentials(testkit.Person(t, shop, workshop.Winder), testkit.Password, "/"))
	for _, planted := range []string{"made-up-by-the-attacker", cookieOf(in, "windingroom").Value} {
		p := victim.Do("POST", "/sign-in", credentials(testkit.Person(t, shop, workshop.Owner), testkit.Password, "/"), map[string]string{"Cookie": "windingroom=" + planted})
		if c := cookieOf(p, "windingroom"); c == nil || c.Value == planted {
			t.Fatalf("the session keeps the planted token: %v", c)
		}
		if p := attacker.Do("GET", "/you", nil, map[string]string{"Cookie": "windingroom=" + planted}); p.Status != 303 {
			t.Errorf("the planted token answers %d", p.Status)
		}
	}
}

// TestPlantedNoticeIsNotShown: a notice is signed with the session's token.
func TestPlantedNoticeIsNotShown(t *testing.T) {
	shop := testkit.Shop(t)
	site := visit.Open(t, shop)
	in := site.Visit(t).Post("/sign-in", credentials(testkit.Person(t, shop, workshop.Winder), testkit.Password, "/"))
	own, notice := cookieOf(in, "windingroom").Value, cookieOf(in, "windingroom-notice").Value
	other := cookieOf(site.Visit(t).Post("/sign-in", credentials(testkit.Person(t, shop, workshop.Lead), testkit.Password, "/")), "windingroom").Value
	body, _, _ := strings.Cut(notice, ".")
	for what, tt := range map[string]struct {
		session, notice string
		shown           bool
	}{"its own": {own, notice, true}, "another's": {other, notice, false}, "unsigned": {own, body, false}, "signed wrongly": {own, body + ".AAAA", false}, "nonsense": {own, "%%", false}} {
		p := site.Visit(t).Do("GET", "/you", nil, map[string]string{"Cookie": "windingroom=" + tt.session + "; windingroom-notice=" + tt.notice})
		if shown := strings.Contains(p.Body, "Signed in as"); p.Status != 200 || shown != tt.shown {
			t.Errorf("%s: %d, shown %v", what, p.Status, shown)
		}
	}
}

// TestGuessingIsSlowed, whether the name exists or not, and the answers do not tell which.
func TestGuessingIsSlowed(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit.Open(t, shop).Visit(t)
	known := testkit.Person(t, shop, workshop.Lead)
	request := regexp.MustCompile(`value="[^"]*"|Request [A-Z0-9]+`)
	for i := range 12 {
		a, b := v.Post("/sign-in", credentials(known, "wrong words here", "")), v.Post("/sign-in", credentials("nobody at all", "wrong words here", ""))
		want := http.StatusUnprocessableEntity
		if i >= 10 {
			want = http.StatusTooManyRequests
		}
		if i == 11 { // a refused try does not count
			continue
		}
		if a.Status != want || b.Status != want {
			t.Fatalf("try %d is answered %d and %d, want %d", i+1, a.Status, b.Status, want)
		}
		if request.ReplaceAllString(a.Body, "") != request.ReplaceAllString(b.Body, "") {
			t.Errorf("try %d tells names apart", i+1)
		}
	}
	p := v.Post("/sign-in", credentials(known, testkit.Password, ""))
	p.Wants(t, http.StatusTooManyRequests, []string{"Wait 1 second, then try again"}, nil)
	if p.Header.Get("Retry-After") != "1" {
		t.Errorf("Retry-After is %q", p.Header.Get("Retry-After"))
	}
}

func TestHugeFormsAreRefused(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit.Open(t, shop).Visit(t)
	testkit.Person(t, shop, workshop.Lead)
	v.Post("/sign-in", credentials("test lead", strings.Repeat("x", 2<<20), "")).Wants(t, http.StatusRequestEntityTooLarge, []string{"Too large"}, nil)
	v.Post("/sign-in", credentials(strings.Repeat("n", 900<<10), "x", "")).Wants(t, 422, nil, nil)
	v.Post("/sign-in", credentials("test lead", strings.Repeat("x", 900<<10), "")).Wants(t, 422, []string{"is not right"}, nil)
}

// TestTwoServersShareSessionsAndTries, being on one database.
func TestTwoServersShareSessionsAndTries(t *testing.T) {
	shop := testkit.Shop(t)
	first, second := visit.Open(t, shop), visit.Open(t, shop)
	token := cookieOf(first.Visit(t).Post("/sign-in", credentials(testkit.Person(t, shop, workshop.Lead), testkit.Password, "/")), "windingroom").Value
	if p := second.Visit(t).Do("GET", "/you", nil, map[string]string{"Cookie": "windingroom=" + token}); p.Status != 200 {
		t.Errorf("the second server answers %d", p.Status)
	}
	for i := range 10 {
		[]*visit.Site{first, second}[i%2].Visit(t).Post("/sign-in", credentials("test lead", "wrong words here", ""))
	}
	for i, s := range []*visit.Site{first, second} {
		if p := s.Visit(t).Post("/sign-in", credentials("test lead", "wrong words here", "")); p.Status != http.StatusTooManyRequests {
			t.Errorf("server %d answers one more try with %d", i+1, p.Status)
		}
	}
}

// TestFormsOfOtherSitesDoNothing to whoever is signed in here.
func TestFormsOfOtherSitesDoNothing(t *testing.T) {
	shop := testkit.Shop(t)
	v := visit.Open(t, shop).As(t, workshop.Owner)
	for _, path := range []string{"/sign-out", "/you/sign-out-everywhere", "/you/password", "/people", "/people/role", "/people/off", "/people/password", "/tokens", "/tokens/revoke"} {
		for _, headers := range []map[string]string{{"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"}, {"Origin": "https://elsewhere.example"}, {"Origin": "null"}} {
			if p := v.Do("POST", path, url.Values{"name": {"x"}, "role": {"owner"}, "password": {testkit.Password}}, headers); p.Status != http.StatusForbidden {
				t.Errorf("%s with %v is answered %d", path, headers, p.Status)
			}
		}
		if p := v.Get(path); p.Status == 303 && p.To() == "/sign-in" {
			t.Errorf("a look at %s does something", path)
		}
	}
	v.Get("/you").Wants(t, 200, []string{"Sign out everywhere"}, nil)
}

// TestSessionIsNotReadFromElsewhere: a token in the address, a header or a form opens nothing.
func TestSessionIsNotReadFromElsewhere(t *testing.T) {
	shop := testkit.Shop(t)
	site := visit.Open(t, shop)
	token := cookieOf(site.Visit(t).Post("/sign-in", credentials(testkit.Person(t, shop, workshop.Lead), testkit.Password, "/")), "windingroom").Value
	bearer := testkit.Token(t, shop, workshop.Owner)
	for what, headers := range map[string]map[string]string{
		"bearer":         {"Authorization": "Bearer " + bearer},
		"session bearer": {"Authorization": "Bearer " + token},
		"API token":      {"Cookie": "windingroom=" + bearer},
		"its name":       {"Cookie": "windingroom=test lead"},
		"nothing":        {"Cookie": "windingroom="},
	} {
		if p := site.Visit(t).Do("GET", "/you?windingroom="+token, nil, headers); p.Status != 303 {
			t.Errorf("%s is answered %d", what, p.Status)
		}
	}
	for what, headers := range map[string]map[string]string{"session": {"Authorization": "Bearer " + token}, "cookie": {"Cookie": "windingroom=" + token}} {
		if p := site.Visit(t).Do("GET", "/api/v1/stock", nil, headers); p.Status != http.StatusUnauthorized {
			t.Errorf("the API takes a %s: %s", what, fmt.Sprint(p.Status))
		}
	}
}
