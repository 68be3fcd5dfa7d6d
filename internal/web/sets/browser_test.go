package sets_test

import (
	"strings"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

// TestInBrowser goes a lead's way from a standing set to the same set in nickel, a string of other wires made a recipe, and the order.
func TestInBrowser(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	b := visit.Open(t, shop).BrowseAs(t, workshop.Lead)
	b.Go("/sets")
	b.Check("sets-standing")
	b.Click("a[href='/sets/bench?set=harbour-6']", "#strings")
	b.Check("sets-bench")
	b.Width(1280)

	over := func(selector, text string) {
		visit.Ask[bool](b, `document.querySelector("`+selector+`").select() || true`)
		b.Type(selector, text)
	}
	choose := func(selector, value string) {
		visit.Ask[bool](b, `(document.querySelector("`+selector+`").value = "`+value+`") !== ""`)
	}
	over("#string-5", "MW-H-17.3C + PB8-R-12.0")
	b.See("form[action='/sets/recipes'] button")
	if got := visit.Ask[string](b, `document.querySelector("h1").textContent + " | " + location.search`); !strings.Contains(got, "than harbour-6") || !strings.Contains(got, "PB8-R-12.0") {
		t.Errorf("computed while typing: %s", got)
	}
	over("#pitch-2", "H9")
	b.See("#why-2:not(:empty)")
	b.Check("sets-bench-wrong")
	over("#pitch-2", "B3")
	b.Gone("#why-2:not(:empty)") // the button below stands in the same answer
	b.Click("form[action='/sets/recipes'] button", ".notice.good")
	b.See("a.button[href^='/new-order?l0-line=1']")
	b.Check("sets-bench-beside")
	b.PDF("sets-bench", "A4")

	b.Width(1280)
	b.Click("#bench-tabs a[href^='/sets/match']", "#f-alloy")
	choose("#f-alloy", "nickel")
	b.Click(".ask-for button", "#recommended")
	b.Click(".options:last-child summary", ".options[open] table")
	b.Check("sets-match")
	b.Width(1280)
	b.Click("a.button[href^='/sets/bench']", "#strings")
	b.Click("#strings a[href^='/sets/find']", "#found")
	b.Check("sets-find")
	b.Width(1280)
	b.Click(".tabs a[href^='/sets/balance']", "#f-equal")
	choose("#f-alloy", "nickel")
	b.Click(".ask-for button", "#whole-1")
	b.Check("sets-balance")
	b.Width(1280)
	b.Click(".tabs a[href^='/sets/calibrate']", "#f-recipe")
	choose("#f-recipe", "NPS-38")
	b.Click(".ask-for button", "#f-gauges")
	b.Type("#f-gauges", "38.1 38.2 38.15")
	b.Click("form[method=post][action='/sets/calibrate'] button", ".notice.good")
	b.Check("sets-calibrate")
}

// TestWithoutJavaScript types a string on the bench and computes by the button.
func TestWithoutJavaScript(t *testing.T) {
	b := visit.Open(t, testkit.ScenarioShop(t)).BrowseAs(t, workshop.Winder)
	b.WithoutJavaScript()
	b.Go("/sets/bench?length=25.5")
	b.Type("#string-1", "P-10.5")
	b.Type("#pitch-1", "E4\n")
	b.See("#strings .fill")
	b.Click("button[value=down]", "#pitch-1[value='D#4']")
	b.Click("#bench-tabs a[href^='/sets/match']", "input[name=string][value='P-10.5'] ~ .fields #f-alloy")
}
