package today_test

import (
	"fmt"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

// signIn signs in by the page, as people do.
func signIn(t *testing.T, b *visit.Browser, shop *workshop.Shop, role workshop.Role) {
	t.Helper()
	name := testkit.Person(t, shop, role)
	b.Go("/")
	b.Type("#f-name", name)
	b.Type("#f-password", testkit.Password+"\n")
	b.See(".who button")
}

// drag presses the mouse on what one selector finds and lets it go beside what another finds.
func drag(t *testing.T, b *visit.Browser, from, to string) {
	t.Helper()
	at := func(selector, within string) (x, y float64) {
		box := visit.Ask[[]float64](b, fmt.Sprintf(`(() => { const e = document.querySelector(%q); e.scrollIntoView({block: "center"}); const r = e.getBoundingClientRect(); return [r.left + r.width * %s, r.top + r.height / 2]; })()`, selector, within))
		return box[0], box[1]
	}
	mouse := func(kind input.DispatchMouseEventType, x, y float64) {
		t.Helper()
		params := input.DispatchMouseEventParams{Type: kind, X: x, Y: y, Button: input.MouseButtonLeft, ClickCount: 1}
		if _, err := chromedp.Call(b.Ctx, input.DispatchMouseEvent, params); err != nil {
			t.Fatal(err)
		}
	}
	x, y := at(from, "0.5")
	mouse(input.DispatchMouseEventTypeMousePressed, x, y)
	mouse(input.DispatchMouseEventTypeMouseMoved, x+20, y+2) // the strip to drop on shows now
	x, y = at(to, "0.96")
	mouse(input.DispatchMouseEventTypeMouseMoved, x, y)
	mouse(input.DispatchMouseEventTypeMouseReleased, x, y)
}

// TestLeadsDay goes through a lead's day from signing in to the printed plan.
func TestLeadsDay(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	b := visit.Open(t, shop).Browse(t)
	signIn(t, b, shop, workshop.Lead)
	b.Check("today-no-plan")
	b.Width(1280)
	b.Click("form[action$='/propose'] button", ".tag.wait")
	b.Check("today-proposed")
	b.Width(1280)
	drag(t, b, "svg[data-machine='bench-1'] .bar .run", "svg[data-machine='bench-1']") // the first batch to the end
	b.See(".undo button")
	undo(b)
	first := visit.Ask[string](b, `[...document.querySelectorAll("svg[data-machine='bench-1'] .bar")].find(b => b.dataset.ordered > 9).dataset.batch`)
	drag(t, b, fmt.Sprintf(".bar[data-batch='%s'] .run", first), "svg[data-machine='long-bed']")
	b.See("dialog[open] .drag-split")
	b.Click(".drag-none", ".lanes")
	drag(t, b, fmt.Sprintf(".bar[data-batch='%s'] .run", first), ".hold-here")
	b.See(".held button[name=resume]")
	b.Click("#changed", "#changes table")
	b.Click("svg[data-machine='bench-2'] .bar", "button[name=pin]")
	b.Check("batch-proposed")
	b.Width(1280)
	b.Click("button[name=pin]", ".undo button")
	b.Click("form[action$='/release'] button", ".tag.good")
	b.Check("today-released")
	b.PDF("today-released", "A4")
	b.Click("a[href^='/ahead']", "svg.load-bar")
	b.Check("ahead")
}

// TestWindersDay goes through a winder's day at one machine, from signing in to the next batch.
func TestWindersDay(t *testing.T) {
	shop := released(t)
	b := visit.Open(t, shop).Browse(t)
	b.Excuse("422")
	signIn(t, b, shop, workshop.Winder)
	b.Width(768)
	b.Click("a[href^='/today/bench/']", ".begin button")
	b.Check("bench-waiting")
	b.Width(768)
	b.Click(".begin button", ".undo button")
	visit.Ask[any](b, `[0, 1, 2, 3].forEach(() => document.querySelector("button[name=good][value='1']").click())`) // faster than answers come
	counted(b, 4)
	b.Click("button[name=good][value='10']", ".undo button")
	counted(b, 14)
	undo(b)
	counted(b, 4)
	b.Click("button[name=reason][value='core broke']", ".scrapped")
	b.Check("bench-running")
	b.Width(768)
	b.Type("#f-spool", "S-9\n")
	b.See("#f-spool-wrong")
	b.Check("bench-wrong-spool")
	b.Width(768)
	b.Click(".finish summary", ".finishing button")
	visit.Ask[any](b, `document.activeElement.blur()`)
	b.Check("bench-done")
	b.Width(768)
	b.Click(".finishing button", ".off")
	b.Check("bench-next")
	b.Width(768)
	b.Click(".off a", "#f-gross_g")
	b.Check("weigh")
	b.Type("#f-gross_g", "1\n")
	b.See("#faults")
	b.Check("weigh-refused")
}

// counted waits until the bench shows so many good strings.
func counted(b *visit.Browser, good int) {
	visit.Ask[bool](b, fmt.Sprintf(`new Promise((is, no) => { const look = n => { const f = document.querySelector(".goods-now .figure");
		if (f && f.textContent === "%d") is(true); else if (n > 250) no(Error("counted " + (f && f.textContent))); else setTimeout(look, 20, n + 1); }; look(0); })`, good))
}

// undo takes the last step back and waits for the page after it.
func undo(b *visit.Browser) {
	b.Leave(".undo button", "")
}

// TestWithoutJavaScript winds and plans by forms alone.
func TestWithoutJavaScript(t *testing.T) {
	shop := smallShop(t)
	site := visit.Open(t, shop)
	b := site.BrowseAs(t, workshop.Lead)
	b.WithoutJavaScript()
	b.Go("/")
	b.Click("form[action$='/propose'] button", ".tag.wait")
	b.Click("form[action$='/release'] button", ".tag.good")
	b.Click("a[href^='/today/bench/']", ".begin button")
	b.Check("bench-without-scripts")
	b.Leave(".begin button", ".undo button")
	b.Leave("button[name=good][value='1']", ".undo button")
	b.Leave("button[name=good][value='10']", ".undo button")
	undo(b)
	b.Leave("button[name=reason]", ".scrapped")
	b.Click(".finish summary", ".finishing button")
	b.Click(".finishing button", ".off a")
	b.Click(".off a", "#f-gross_g")
}
