package visit

import (
	_ "embed"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// mostTabs bounds how often the tab key is pressed on one page.
const mostTabs = 120

//go:embed keyboard.js
var tabWatch string

// keyboard presses the tab key through the page that is open, on a phone, where most is hidden most easily: it reaches all that can be used, in
// the order in which the page is read, goes on from each, and what it reaches is seen and outlined (WCAG 2.2, 2.1.2, 2.4.3, 2.4.7, 2.4.11).
func (b *Browser) keyboard(name string) {
	b.t.Helper()
	b.Width(Widths[0])
	defer b.Width(Widths[2])
	presses := min(mostTabs, Ask[int](b, tabWatch))
	for range presses {
		params := input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeRawKeyDown, Key: "Tab", Code: "Tab", WindowsVirtualKeyCode: 9}
		if _, err := chromedp.Call(b.Ctx, input.DispatchKeyEvent, params); err != nil {
			b.t.Fatal(name, err)
		}
	}
	for _, fault := range Ask[[]string](b, `tabbed()`) {
		b.t.Errorf("%s: the tab key: %s", name, fault)
	}
}
