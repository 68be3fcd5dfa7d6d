package web_test

import (
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

// TestSignInInBrowser signs in by the page itself, is refused first, and signs out everywhere.
func TestSignInInBrowser(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	site := visit.Open(t, shop)
	b := site.Browse(t)
	b.Excuse("422") // the browser's console notes the refusal's status
	b.Go("/buying")
	b.See("#first") // there is no owner yet
	b.Check("sign-in-no-owner")
	name := testkit.Person(t, shop, workshop.Owner)
	b.Go("/buying")
	b.Check("sign-in")
	b.Type("#f-name", name)
	b.Type("#f-password", "wrong words here\n")
	b.See("#wrong")
	b.Check("sign-in-refused")
	b.Type("#f-password", testkit.Password+"\n") // the name that was typed stands there still
	b.See(".who button")
	if at := visit.Ask[string](b, "location.pathname"); at != "/buying" {
		t.Errorf("signed in to %s", at)
	}
	elsewhere := site.As(t, workshop.Owner)
	b.Click(".who a", "form[action='/you/password']")
	b.Check("you")
	b.Click("form[action='/you/sign-out-everywhere'] button", "#f-name")
	if p := elsewhere.Get("/you"); p.Status != 303 {
		t.Errorf("the other browser is still in: %d", p.Status)
	}
	b.Go("/problems/changed")
	b.Check("explain")
}

// TestSignInWithoutJavaScript does the same by forms alone, and changes the password between.
func TestSignInWithoutJavaScript(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	name := testkit.Person(t, shop, workshop.Winder)
	b := visit.Open(t, shop).Browse(t)
	b.WithoutJavaScript()
	b.Go("/you")
	b.Type("#f-name", name)
	b.Type("#f-password", testkit.Password+"\n")
	b.See("form[action='/you/password']")
	b.Go("/you") // once more: the sentence that somebody signed in is gone, so the next one is of the password
	b.Type("#f-present", testkit.Password)
	b.Type("#f-password", "harbour seven lantern\n")
	b.See(".notice.good")
	b.Click("form[action='/you/sign-out-everywhere'] button", "#f-name")
	b.Type("#f-name", name)
	b.Type("#f-password", "harbour seven lantern\n")
	b.See(".who button")
}
