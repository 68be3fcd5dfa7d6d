package today_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

// fingerDrag holds a finger on what one selector finds until it drags, and lets it go in another machine's bars.
func fingerDrag(t *testing.T, b *visit.Browser, from, to string, within float64) {
	t.Helper()
	touch := func(kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
		t.Helper()
		if points == nil {
			points = []*input.TouchPoint{}
		}
		if _, err := chromedp.Call(b.Ctx, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points}); err != nil {
			t.Fatal(err)
		}
	}
	at := func(selector string, within float64) *input.TouchPoint {
		box := visit.Ask[[]float64](b, fmt.Sprintf(`(() => { const r = document.querySelector(%q).getBoundingClientRect(); return [r.left + r.width * %f, r.top + r.height / 2]; })()`, selector, within))
		return &input.TouchPoint{X: box[0], Y: box[1]}
	}
	visit.Ask[any](b, `document.querySelector(".lanes").scrollIntoView({block: "start"})`)
	touch(input.DispatchTouchEventTypeTouchStart, at(from, .5))
	b.See(".bar.dragged") // the page scrolls until the finger has rested
	target := at(to, within)
	touch(input.DispatchTouchEventTypeTouchMove, &input.TouchPoint{X: target.X - 20, Y: target.Y})
	touch(input.DispatchTouchEventTypeTouchMove, target)
	touch(input.DispatchTouchEventTypeTouchEnd)
}

// TestFingersAndKeysMoveBatches has a lead move a batch by keys, move it back with a finger on a tablet, and split it by dragging it to another
// machine.
func TestFingersAndKeysMoveBatches(t *testing.T) {
	shop := smallShop(t)
	if _, err := shop.ProposeDay(testkit.As(t.Context(), workshop.Lead), testkit.Day(t)); err != nil {
		t.Fatal(err)
	}
	b := visit.Open(t, shop).BrowseAs(t, workshop.Lead)
	b.Width(768)
	if _, err := chromedp.Call(b.Ctx, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true}); err != nil {
		t.Fatal(err)
	}
	planned := func(want string) {
		t.Helper()
		b.See("body:not([data-before]) .lanes")
		if got := plannedOn(t, shop); got != want {
			t.Fatalf("planned are %s, want %s", got, want)
		}
		visit.Ask[any](b, `document.body.dataset.before = "yes"`)
	}
	b.Go("/")
	planned("a: ; b: 5 W-42.5, 12 P-10")

	b.Click("svg[data-machine='b'] .bar:last-of-type", "#move")
	b.Do("type the place", chromedp.SendKeys(chromedp.CSS("select[aria-label='Machine']"), "\t"), chromedp.KeyEvent("1"), chromedp.KeyEvent("\r"))
	planned("a: ; b: 12 P-10, 5 W-42.5")

	fingerDrag(t, b, "svg[data-machine='b'] .bar .run", "svg[data-machine='b']", .97)
	planned("a: ; b: 5 W-42.5, 12 P-10")
	fingerDrag(t, b, "svg[data-machine='b'] .bar:last-of-type .run", "svg[data-machine='a']", .97)
	b.See("dialog[open] .drag-split")
	b.Click(".drag-split button", "body:not([data-before]) .lanes")
	planned("a: 6 P-10; b: 5 W-42.5, 6 P-10")
}

// plannedOn says what is proposed on each machine, with the ordered strings.
func plannedOn(t *testing.T, shop *workshop.Shop) string {
	t.Helper()
	plan, err := shop.Day(testkit.As(t.Context(), workshop.Lead), testkit.Day(t))
	if err != nil {
		t.Fatal(err)
	}
	var machines []string
	for _, m := range plan.Machines {
		var batches []string
		for _, x := range m.Batches {
			batches = append(batches, fmt.Sprintf("%d %s", x.Ordered, x.Recipe))
		}
		machines = append(machines, fmt.Sprintf("%s: %s", m.Machine, strings.Join(batches, ", ")))
	}
	return strings.Join(machines, "; ")
}
