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
	b.Type("#f-present", testkit.Password)
	b.Type("#f-password", "harbour seven lantern\n")
	b.See(".notice.good")
	b.Click("form[action='/you/sign-out-everywhere'] button", "#f-name")
	b.Type("#f-name", name)
	b.Type("#f-password", "harbour seven lantern\n")
	b.See(".who button")
}

// TestInBrowser goes through a lead's morning in a real browser.
func TestInBrowser(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	b := visit.Open(t, shop).BrowseAs(t, workshop.Lead)
	b.Go("/")
	b.Check("today-no-plan")
	b.Click("form[action$='/propose'] button", ".chip.proposed")
	b.Click(".batches tbody .change summary", ".batches .change[open] button[name=hold]")
	b.Check("today-proposed")
	b.Width(1280)
	b.Click(".batches .change[open] button[name=hold]", ".held button[name=resume]")
	b.Click("#changed", ".differences li")
	b.Click("form[action$='/release'] button", ".chip.released")
	b.Check("today-released")
	b.PDF("today-released", "A4")
	b.PDF("today-released", "Letter")
	bars, batches := visit.Ask[int](b, `document.querySelectorAll("svg.day a").length`), visit.Ask[int](b, `document.querySelectorAll(".batches tbody").length`)
	if bars != batches || batches == 0 {
		t.Errorf("%d bars for %d batches", bars, batches)
	}
	if loose := visit.Ask[int](b, `[...document.querySelectorAll("svg.day a")].filter(a => !document.getElementById(a.getAttribute("href").slice(1))).length`); loose > 0 {
		t.Errorf("%d bars lead nowhere", loose)
	}
	b.Click("a[href^='/ahead']", "svg.load")
	b.Check("ahead")
}

// TestWithoutJavaScript does the essential of a day without scripts.
func TestWithoutJavaScript(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	b := visit.Open(t, shop).BrowseAs(t, workshop.Lead)
	b.WithoutJavaScript()
	b.Go("/")
	b.Click("form[action$='/propose'] button", ".chip.proposed")
	b.Click("form[action$='/release'] button", ".chip.released")
}
