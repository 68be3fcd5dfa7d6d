// Package visit lets tests use the pages as people do: a shop behind the whole server on loopback, a visitor without a window for
// quick looks, and Chromium for what only a browser shows. Only tests import it.
//
// With the flag -shots DIR a test keeps a screenshot of every page that it checks, at three widths, light and dark:
//
//	go test ./internal/web/today -run InBrowser -shots /tmp/shots
package visit

import (
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"windingroom/internal/api"
	"windingroom/internal/httpd"
	"windingroom/internal/testkit"
	"windingroom/internal/web"
	"windingroom/internal/workshop"
)

// Site is a shop's whole server on loopback.
type Site struct {
	Shop *workshop.Shop
	URL  string
}

// Open serves a shop's pages and its API until the test ends. Without options the units are inches, grams and newtons.
func Open(t testing.TB, shop *workshop.Shop, options ...web.Options) *Site {
	t.Helper()
	return OpenLogged(t, shop, io.Discard, options...)
}

// OpenLogged is Open with the server's log.
func OpenLogged(t testing.TB, shop *workshop.Shop, log io.Writer, options ...web.Options) *Site {
	t.Helper()
	e := httpd.Engine(shop, slog.New(slog.NewJSONHandler(log, nil)), httpd.Build{Version: "test", Commit: "abc"})
	api.Register(e, shop)
	var o web.Options
	if len(options) > 0 {
		o = options[0]
	}
	web.Register(e, shop, o)
	s := httptest.NewServer(e)
	t.Cleanup(s.Close)
	return &Site{Shop: shop, URL: s.URL}
}

// Visitor is a browser without a window or scripts: it keeps cookies and does not go on by itself.
type Visitor struct {
	t      testing.TB
	site   *Site
	client *http.Client
}

// Visit begins a visit; nobody is signed in.
func (s *Site) Visit(t testing.TB) *Visitor {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	stay := func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	return &Visitor{t, s, &http.Client{Jar: jar, CheckRedirect: stay}}
}

// As begins a visit of someone with a role.
func (s *Site) As(t testing.TB, role workshop.Role) *Visitor {
	t.Helper()
	v := s.Visit(t)
	v.SignIn(role)
	return v
}

// SignIn signs in as someone with a role.
func (v *Visitor) SignIn(role workshop.Role) {
	v.t.Helper()
	p := v.Post("/sign-in", url.Values{"name": {testkit.Person(v.t, v.site.Shop, role)}, "password": {testkit.Password}, "next": {"/"}})
	if p.Status != http.StatusSeeOther || p.To() != "/" {
		v.t.Fatalf("signing in as %s: %d to %q: %s", role, p.Status, p.To(), p.Body)
	}
}

// Page is what a visitor sees.
type Page struct {
	Status int
	Header http.Header
	Body   string
}

// To is where a reply sends the visitor.
func (p Page) To() string { return p.Header.Get("Location") }

// Text is the page with every run of blanks as one.
func (p Page) Text() string { return strings.Join(strings.Fields(p.Body), " ") }

// Get looks at an address.
func (v *Visitor) Get(path string) Page { v.t.Helper(); return v.Do("GET", path, nil, nil) }

// Post sends a form.
func (v *Visitor) Post(path string, form url.Values) Page {
	v.t.Helper()
	if form == nil {
		form = url.Values{}
	}
	return v.Do("POST", path, form, nil)
}

// Do sends any request, with a form unless it is nil.
func (v *Visitor) Do(method, path string, form url.Values, headers map[string]string) Page {
	v.t.Helper()
	media := ""
	if form != nil {
		media = "application/x-www-form-urlencoded"
	}
	return v.send(method, path, media, strings.NewReader(form.Encode()), headers)
}

// Send posts a body of a media type, such as a form with files.
func (v *Visitor) Send(path, media string, body io.Reader) Page {
	v.t.Helper()
	return v.send(http.MethodPost, path, media, body, nil)
}

func (v *Visitor) send(method, path, media string, body io.Reader, headers map[string]string) Page {
	v.t.Helper()
	req, err := http.NewRequestWithContext(v.t.Context(), method, v.site.URL+path, body)
	if err != nil {
		v.t.Fatal(err)
	}
	if media != "" {
		req.Header.Set("Content-Type", media)
	}
	for k, value := range headers {
		req.Header.Set(k, value)
	}
	res, err := v.client.Do(req)
	if err != nil {
		v.t.Fatal(err)
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	if err != nil {
		v.t.Fatal(err)
	}
	return Page{res.StatusCode, res.Header, string(text)}
}

// Wants checks a page: its status, texts it has and texts it has not, blanks aside.
func (p Page) Wants(t testing.TB, status int, has []string, hasNot []string) {
	t.Helper()
	if p.Status != status {
		t.Fatalf("status %d, want %d: %.500s", p.Status, status, p.Body)
	}
	text := p.Text()
	for _, want := range has {
		if !strings.Contains(text, want) {
			_, main, _ := strings.Cut(text, "<main")
			t.Errorf("lacks %q: %.3000s", want, main)
		}
	}
	for _, no := range hasNot {
		if strings.Contains(text, no) {
			t.Errorf("holds %q", no)
		}
	}
}
