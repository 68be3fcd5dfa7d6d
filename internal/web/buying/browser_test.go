package buying_test

import (
	"errors"
	"testing"

	"github.com/chromedp/chromedp"

	"windingroom/internal/calendar"
	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

// TestTheOwnersDay goes from sign-in over the morning's list to a purchase that is sent and received.
func TestTheOwnersDay(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	nights(t, shop)
	name := testkit.Person(t, shop, workshop.Owner)
	b := visit.Open(t, shop).Browse(t)
	b.Go("/buying")
	b.Type("#f-name", name)
	b.Type("#f-password", testkit.Password+"\n")
	b.See(".alert")
	b.Width(1280)
	b.Click("article.alert summary", ".alert details[open] button")
	b.Check("morning")
	b.Width(1280)
	b.Type(".alert details[open] input[name=reason]", "comes by van\n")
	b.See("#answered")
	b.Click(".alert h3 a", "#balance svg")
	b.Check("wire")
	b.Width(1280)
	b.Click("nav.tabs a[href='/buying']", "form[action='/buying/purchases'] button")
	b.Click(".acts > form[action='/buying/purchases'] button", ".idea a.button[href^='/buying/purchases/']")
	b.Click(".idea a.button[href^='/buying/purchases/']", ".send button")
	b.Check("purchase-proposed")
	b.Width(1280)
	b.Click("a[href$='/change']", "#f-packs-0")
	b.Check("purchase-change")
	b.Width(1280)
	b.Do("more packs", chromedp.SetValue(chromedp.CSS("#f-packs-0"), "9"))
	b.Click("form[action$='/change'] button", ".notice.good")
	b.Click(".send button", "a[href$='/receive']")
	b.Click("a[href$='/receive']", "#f-spool-0")
	b.Type("#f-gross_g-0", "450")
	b.Type("#f-tare_g", "200")
	b.Type("#f-lot", "AS-9")
	b.Check("purchase-receive")
	b.Width(1280)
	b.Type("#f-cost-0", "17.20\n")
	b.See("#receipts table")
	b.Check("purchase-received")
}

// TestTheOtherBuyingPages looks at what the owner's day does not pass.
func TestTheOtherBuyingPages(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	b := visit.Open(t, shop).BrowseAs(t, workshop.Owner)
	b.Go("/buying")
	b.Check("morning-no-night")
	b.Go("/jobs")
	b.Check("jobs-none")
	nights(t, shop)
	own(t, shop)
	for _, page := range []struct{ path, name string }{{"/buying/wires", "wires"}, {"/buying/purchases", "purchases"}, {"/buying/suppliers", "suppliers"},
		{"/buying/purchases/new", "purchase-new"}, {"/jobs", "jobs"}} {
		b.Go(page.path)
		b.Check(page.name)
	}
}

// TestBuyingWithoutJavaScript does the essential by forms alone.
func TestBuyingWithoutJavaScript(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	b := visit.Open(t, shop).BrowseAs(t, workshop.Lead)
	b.WithoutJavaScript()
	b.Go("/buying")
	b.Click("form[action='/buying/night'] button", ".alert")
	b.Click(".acts > form[action='/buying/purchases'] button", ".idea a.button[href^='/buying/purchases/']")
	b.Click(".idea a.button[href^='/buying/purchases/']", ".send button")
	b.Click(".send button", "a[href$='/receive']")
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
