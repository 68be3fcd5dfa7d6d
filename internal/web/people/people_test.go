package people_test

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

const fresh = "harbour seven lantern"

func TestOwnerManagesPeople(t *testing.T) {
	shop := testkit.Shop(t)
	site := visit.Open(t, shop)
	v := site.As(t, workshop.Owner)
	v.Get("/people").Wants(t, 200, []string{"1 person can sign in", "Add a person", `href="/people/one?name=test&#43;owner"`, `autocomplete="new-password"`}, nil)

	for what, form := range map[string]url.Values{
		"has 5 characters":                  {"name": {"<i>Ada"}, "role": {"lead"}, "password": {"short"}},
		"is needed, of 1 to 64":             {"name": {" "}, "role": {"lead"}, "password": {fresh}},
		"role &#34;king&#34; is not one of": {"name": {"Ada"}, "role": {"king"}, "password": {fresh}},
		"already there":                     {"name": {"TEST owner"}, "role": {"lead"}, "password": {fresh}},
	} {
		v.Post("/people", form).Wants(t, 422, []string{what, "Nothing was kept yet"}, []string{"<i>", fresh, `value="short"`})
	}
	if p := v.Post("/people", url.Values{"name": {"Ada & Bo"}, "role": {"lead"}, "password": {fresh}}); p.Status != 303 || p.To() != "/people" {
		t.Fatalf("added: %d to %q", p.Status, p.To())
	}
	v.Get("/people").Wants(t, 200, []string{"Ada &amp; Bo can sign in as lead", "2 people can sign in", "/people/one?name=Ada&#43;%26&#43;Bo"}, nil)
	v.Get("/people/one?name=ada+%26+bo").Wants(t, 200, []string{"Ada &amp; Bo", "Change role", "Set password", "Turn off", `<option value="lead" selected>`}, nil)
	v.Get("/people/one?name=nobody").Wants(t, 404, []string{"Person nobody: not found"}, nil)

	ada := site.Visit(t)
	if p := ada.Post("/sign-in", url.Values{"name": {"Ada & Bo"}, "password": {fresh}}); p.Status != 303 {
		t.Fatal(p.Status, p.Body)
	}
	ada.Get("/you").Wants(t, 200, []string{"Ada &amp; Bo, lead", `href="/you"`}, []string{`href="/tokens"`, `href="/audit"`})
	v.Post("/people/role", url.Values{"name": {"Ada & Bo"}, "role": {"bookkeeper"}})
	ada.Get("/you").Wants(t, 200, []string{"Ada &amp; Bo, bookkeeper", `href="/audit"`}, []string{`href="/tokens"`})
	v.Post("/people/off", url.Values{"name": {"Ada & Bo"}})
	if p := ada.Get("/you"); p.Status != 303 {
		t.Errorf("off, and still answered %d", p.Status)
	}
	v.Get("/people/one?name=ada+%26+bo").Wants(t, 200, []string{"Off since", "Turn on", "is off and was signed out everywhere"}, nil)
	v.Post("/people/on", url.Values{"name": {"Ada & Bo"}})
	v.Post("/people/password", url.Values{"name": {"Ada & Bo"}, "password": {"short"}}).Wants(t, 422, []string{"New password: has 5 characters"}, nil)
	v.Post("/people/password", url.Values{"name": {"Ada & Bo"}, "password": {testkit.Password}})
	if p := ada.Post("/sign-in", url.Values{"name": {"ada & bo"}, "password": {testkit.Password}}); p.Status != 303 {
		t.Errorf("the new password: %d", p.Status)
	}
	for _, act := range []string{"off", "role"} {
		v.Post("/people/"+act, url.Values{"name": {"test owner"}, "role": {"winder"}}).Wants(t, 422, []string{"Test owner is the last owner"}, nil)
	}
}

// TestForgedFormsAreRefused: what a page does not offer is refused all the same, with the role that is needed.
func TestForgedFormsAreRefused(t *testing.T) {
	shop := testkit.Shop(t)
	site := visit.Open(t, shop)
	site.As(t, workshop.Owner)
	for _, role := range []workshop.Role{workshop.Lead, workshop.Winder, workshop.Bookkeeper} {
		v := site.As(t, role)
		name := "test " + string(role)
		form := url.Values{"name": {name}, "role": {"owner"}, "password": {fresh}}
		for _, path := range []string{"/people", "/people/role", "/people/password", "/people/off", "/people/on", "/tokens", "/tokens/revoke"} {
			v.Post(path, form).Wants(t, 403, []string{"needs the role owner, and " + name + " is " + string(role)}, []string{"wr_"})
		}
		v.Get("/people/one?name=test+owner").Wants(t, 403, []string{"needs the role owner"}, []string{"Set password"})
		v.Get("/tokens").Wants(t, 403, []string{"needs the role owner"}, nil)
		if role == workshop.Bookkeeper {
			v.Get("/audit").Wants(t, 200, []string{"What was done"}, nil)
		} else {
			v.Get("/audit").Wants(t, 403, []string{"needs the role bookkeeper or owner"}, nil)
		}
		if p := v.Get("/people"); p.Status != 303 || p.To() != "/you" {
			t.Errorf("people: %d to %q", p.Status, p.To())
		}
		v.Get("/you").Wants(t, 200, []string{name + ", " + string(role)}, nil) // nothing of it was done
	}
	if p := site.Visit(t).Post("/people", url.Values{"name": {"x"}, "role": {"owner"}, "password": {fresh}}); p.Status != 303 || p.To() != "/sign-in" {
		t.Errorf("nobody adds a person: %d to %q", p.Status, p.To())
	}
}

func TestTokenIsShownOnce(t *testing.T) {
	shop := testkit.Shop(t)
	site := visit.Open(t, shop)
	v := site.As(t, workshop.Owner)
	v.Get("/tokens").Wants(t, 200, []string{"No token yet", "0 tokens hold"}, nil)
	p := v.Post("/tokens", url.Values{"name": {"bench scale"}, "role": {"winder"}})
	p.Wants(t, 200, []string{"The token of bench scale", "never shown again"}, nil)
	token := regexp.MustCompile(`wr_[A-Za-z0-9_-]{43}`).FindString(p.Body)
	if p.Header.Get("Cache-Control") != "no-store" || token == "" {
		t.Fatalf("%q is answered with %s", token, p.Header)
	}
	v.Get("/tokens").Wants(t, 200, []string{"bench scale", "never", "1 token holds"}, []string{token})
	api := func() int {
		return site.Visit(t).Do("GET", "/api/v1/stock", nil, map[string]string{"Authorization": "Bearer " + token}).Status
	}
	if got := api(); got != 200 {
		t.Errorf("the API answers %d", got)
	}
	v.Get("/tokens").Wants(t, 200, []string{"2 Mar 2026"}, []string{"<td>never"})
	v.Post("/tokens", url.Values{"name": {"Bench Scale"}, "role": {"winder"}}).Wants(t, 422, []string{"already there"}, []string{"wr_"})
	v.Post("/tokens", url.Values{"name": {"x"}, "role": {"king"}}).Wants(t, 422, []string{"is not one of"}, []string{"wr_"})
	v.Post("/tokens/revoke", url.Values{"name": {"bench scale"}})
	v.Get("/tokens").Wants(t, 200, []string{"is revoked", ">revoked<"}, nil)
	if got := api(); got != http.StatusUnauthorized {
		t.Errorf("revoked, and the API answers %d", got)
	}
	v.Post("/tokens/revoke", url.Values{"name": {"nothing"}})
	v.Get("/tokens").Wants(t, 200, []string{"Token nothing: not found"}, nil)
}

func TestOwnPassword(t *testing.T) {
	shop := testkit.Shop(t)
	site := visit.Open(t, shop)
	v, other := site.As(t, workshop.Winder), site.As(t, workshop.Winder)
	for what, form := range map[string]url.Values{
		"Present password: is not right": {"present": {"wrong words here"}, "password": {fresh}},
		"New password: has 5 characters": {"present": {testkit.Password}, "password": {"short"}},
	} {
		v.Post("/you/password", form).Wants(t, 422, []string{what}, []string{testkit.Password, fresh})
	}
	if p := v.Post("/you/password", url.Values{"present": {testkit.Password}, "password": {fresh}}); p.Status != 303 || p.To() != "/you" {
		t.Fatalf("changed: %d %s", p.Status, p.Body)
	}
	v.Get("/you").Wants(t, 200, []string{"Your password is changed"}, nil)
	if p := other.Get("/you"); p.Status != 303 {
		t.Errorf("the other session goes on: %d", p.Status)
	}
	for range 10 {
		v.Post("/you/password", url.Values{"present": {"wrong words here"}, "password": {testkit.Password}})
	}
	v.Post("/you/password", url.Values{"present": {fresh}, "password": {testkit.Password}}).Wants(t, http.StatusTooManyRequests, []string{"was wrong too often; wait 1 second"}, nil)
}

func TestAudit(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	v := visit.Open(t, shop).As(t, workshop.Owner)
	for i := range 60 {
		if err := shop.AddPerson(testkit.As(t.Context(), workshop.Owner), fmt.Sprintf("Person %02d", i), workshop.Winder, fresh); err != nil {
			t.Fatal(err)
		}
	}
	first := v.Get("/audit")
	first.Wants(t, 200, []string{"Person 59", "add person", "role winder", "Older"}, []string{"Person 05", "Newest", fresh, "argon2"})
	older := regexp.MustCompile(`href="(/audit\?before=\d+)"`).FindStringSubmatch(first.Body)
	if older == nil {
		t.Fatal("no way on")
	}
	v.Get(older[1]).Wants(t, 200, []string{"Person 05", "import", "Newest", "sign in", "by page"}, []string{"Person 59", "Older"})
	v.Get("/audit?person=test+OWNER&subject=Person+07&day=2026-03-02").Wants(t, 200, []string{"Person 07", `value="2026-03-02"`, `value="Person 07"`}, []string{"Person 08"})
	v.Get("/audit?day=2026-03-03").Wants(t, 200, []string{"Nothing is noted here"}, []string{"Person 07"})
	v.Get("/audit?day=<script>").Wants(t, 422, []string{"is not a date"}, []string{"<script>"})
	v.Get("/audit?before=x").Wants(t, 422, []string{"is not the number of an entry"}, nil)
	v.Get("/audit?subject=%27+OR+1%3D1+--").Wants(t, 200, []string{"Nothing is noted here"}, nil)
	if strings.Contains(v.Get("/audit?subject=Person+07").Body, "before=") {
		t.Error("one entry has more pages")
	}
}

// TestPeopleInBrowser has an owner let a person in, make a token and look it up in the audit.
func TestPeopleInBrowser(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	b := visit.Open(t, shop).BrowseAs(t, workshop.Owner)
	b.Go("/people")
	b.Check("people")
	b.Type("#f-name", "Ada Quill")
	b.Type("#f-password", fresh+"\n")
	b.Click("a[href='/people/one?name=Ada+Quill']", "form[action='/people/role']")
	b.Click(".ask summary", "form[action='/people/off'] button")
	b.Check("person")
	b.Click("form[action='/people/off'] button", "form[action='/people/on'] button")
	b.Click(".tabs a[href='/tokens']", "form[action='/tokens']")
	b.Check("tokens-none")
	b.Type("#f-name", "bench scale\n")
	b.See("#made")
	b.Check("token-made")
	b.Click("a[href='/tokens']", "#tokens-rows table")
	b.Check("tokens")
	b.Click(".tabs a[href='/audit']", "#entries-rows table")
	b.Check("audit")
	b.Go("/you")
	b.Check("you")
}
