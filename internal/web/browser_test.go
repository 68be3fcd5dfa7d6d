package web_test

import (
	"errors"
	"testing"

	"github.com/chromedp/chromedp"

	"windingroom/internal/calendar"
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

// TestBuyingInBrowser goes through an owner's morning.
func TestBuyingInBrowser(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	b := visit.Open(t, shop).BrowseAs(t, workshop.Owner)
	b.Go("/buying")
	b.Check("buying-no-night")
	b.Go("/jobs")
	b.Check("jobs-none")
	nights(t, shop)
	b.Click("nav a[href='/buying']", ".alert")
	b.Click(".alert .change summary", ".alert .change[open] button")
	b.Check("buying")
	b.Do("note it", chromedp.SendKeys(chromedp.CSS(".alert .change[open] input[name=reason]"), "comes by van\n"), chromedp.WaitVisible(chromedp.CSS("#answered")))
	b.Click("nav a[href='/jobs']", "#last")
	b.Check("jobs")
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

// nights has the nightly check run twice, so that there is a night before, and its runs recorded.
func nights(t *testing.T, shop *workshop.Shop) {
	t.Helper()
	ctx := workshop.WithPerson(t.Context(), workshop.Person{Name: "nightly jobs", Role: workshop.Lead})
	if _, err := shop.RunNight(ctx, testkit.Day(t)-3); err != nil {
		t.Fatal(err)
	}
	night, err := shop.RunNight(ctx, testkit.Day(t))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := shop.ProposePurchases(ctx, testkit.Day(t), ""); err != nil {
		t.Fatal(err)
	}
	found := night.Headline()
	for _, r := range []struct {
		job     string
		back    calendar.Date
		found   string
		failure error
	}{{"backup", 1, "wrote and tried backup-2026-03-01.db", nil}, {"nightly check", 1, found, nil},
		{"backup", 0, "", errors.New("write backup: no space left on the disk")}, {"nightly check", 0, found, nil}} {
		run, claimed, err := shop.BeginRun(ctx, r.job, testkit.Day(t)-r.back)
		if err != nil || !claimed {
			t.Fatal(claimed, err)
		}
		if err := shop.EndRun(ctx, run, r.found, r.failure); err != nil {
			t.Fatal(err)
		}
	}
}
