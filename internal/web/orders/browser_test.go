package orders_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

// TestOrdersInBrowser has a lead look at what is at risk, take an order in while it is worked out, confirm it and import a file.
func TestOrdersInBrowser(t *testing.T) {
	b := visit.Open(t, testkit.ScenarioShop(t)).BrowseAs(t, workshop.Lead)
	b.Excuse("422")
	b.Go("/orders")
	b.Check("orders")
	b.Click(".head ~ .acts a[href='/new-order']", "#takes")
	b.Check("order-new")
	b.Type("#f-customer", "Reed Pier Hire")
	b.Type("#f-l0-s0-recipe", "P-10.5")
	b.Type("#f-l0-s0-scale", "25.5")
	b.Type("#f-l0-s0-pitch", "E4")
	b.See("#takes table")
	b.Do("choose a set", chromedp.SetValue(chromedp.CSS("#f-l0-set"), "harbour-6"))
	visit.Ask[bool](b, `document.querySelector("#f-l0-set").dispatchEvent(new Event("input", {bubbles: true}))`)
	b.See("#takes tbody tr:nth-child(6)")
	if visit.Ask[bool](b, `document.querySelector(".custom").checkVisibility()`) {
		t.Error("the rows of a custom set show beside a standing one")
	}
	b.Click("button[value='confirm']", "#f-due_on-wrong")
	b.Check("order-refused")
	visit.Ask[string](b, `document.querySelector("#f-due_on").value = "2026-03-30"`)
	b.Click("button[value='spell 0']", "#f-l0-s5-recipe")
	b.Check("order-custom")
	b.Click("button[value='draft']", "#told")
	b.Type("#f-note", "calls on Friday")
	b.Click(".noting button", "#history-rows tbody tr:nth-child(2)") // the note beside what was done
	b.Click(".ask:has(.danger) summary", ".ask[open] button.danger")
	b.Check("order-story")
	b.PDF("order-story", "A4")
	b.Click(".tabs a[href='/import']", "#files")
	file := filepath.Join(t.TempDir(), "orders.csv")
	bad := strings.Replace(strings.ReplaceAll(scenarioFile(t, "orders.csv"), "O-26-", "N-"), "P-13.5,25.5,B3", "P-13.7,25.5,H3", 1)
	if err := os.WriteFile(file, []byte(bad), 0o600); err != nil {
		t.Fatal(err)
	}
	b.Do("choose a file", chromedp.SetUploadFiles(chromedp.CSS("#files"), []string{file}))
	b.Click("button[value='check']", ".bad-row")
	b.Check("import-bad")
}

// TestOrdersWithoutJavaScript takes an order in by forms alone, confirms it, winds it and sends it.
func TestOrdersWithoutJavaScript(t *testing.T) {
	shop := scarceShop(t)
	b := visit.Open(t, shop).BrowseAs(t, workshop.Lead)
	b.Go("/new-order")
	b.WithoutJavaScript()
	b.Go("/new-order")
	b.Type("#f-order", "K-1")
	b.Type("#f-customer", "Reed Pier Hire")
	b.Type("#f-l0-s0-recipe", "P-10")
	b.Type("#f-l0-s0-scale", "25.5")
	b.Type("#f-l0-s0-pitch", "E4\n") // the return key works it out
	b.See("#takes table")
	b.Type("#f-due_on", "03302026")
	b.Click("button[value='draft']", "form[action$='/confirm'] button")
	b.Click("a[href$='/day']", "a[href='/orders/K-1']")
	b.Check("order-day")
	b.Click("a[href='/orders/K-1']", "#told")
	b.Click("form[action$='/confirm'] button", ".notice")
	wind(t, shop)
	b.Go("/orders/K-1")
	b.Check("order-wound")
	b.Click("form[action$='/pack'] button", "form[action$='/ship'] button:not(.second)")
	b.Click("form[action$='/ship'] button", "#history-rows tbody tr:nth-child(6)")
}

// wind plans and releases the shop's day, and winds all of it.
func wind(t *testing.T, shop *workshop.Shop) {
	t.Helper()
	ctx := testkit.As(t.Context(), workshop.Owner)
	if _, err := shop.ProposeDay(ctx, testkit.Day(t)); err != nil {
		t.Fatal(err)
	}
	day, err := shop.ReleaseDay(ctx, testkit.Day(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range day.Machines {
		for _, w := range m.Batches {
			if _, err := shop.PostResult(ctx, workshop.ResultForm{Batch: w.Code, Good: w.ToWind, Minutes: 5 * time.Minute, Person: "Ines"}); err != nil {
				t.Fatal(err)
			}
		}
	}
}
