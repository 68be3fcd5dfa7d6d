package visit

import (
	_ "embed"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

//go:embed axe/axe.min.js
var axe string

// Check looks at the page that is open, at each width: it fits, what is touched is large enough; axe-core finds nothing serious in
// light and dark; the keyboard reaches everything in the order of the page. With -shots it keeps what it saw under the name.
func (b *Browser) Check(name string) {
	b.t.Helper()
	for _, width := range Widths {
		b.Width(width)
		b.fits(name, width)
		for _, scheme := range []string{"light", "dark"} {
			if *shots == "" && (scheme == "dark" && width != Widths[1]) { // colours do not depend on the width
				continue
			}
			b.Media("screen", scheme)
			b.shoot(fmt.Sprintf("%s-%d-%s", name, width, scheme))
			if b.scripts && width != Widths[2] {
				b.accessible(fmt.Sprintf("%s at %d, %s", name, width, scheme))
			}
		}
	}
	b.Media("screen", "light")
	if b.scripts {
		b.keyboard(name)
	}
}

// fits says whether a page fits its width and everything on it is large enough for a finger: 44 px, 56 px on a bench page.
func (b *Browser) fits(name string, width int64) {
	b.t.Helper()
	if !b.scripts {
		return
	}
	if over := Ask[string](b, `(() => { const w = document.documentElement.clientWidth;
		if (document.documentElement.scrollWidth <= w) return "";
		return [...document.querySelectorAll("main *")].filter(e => e.getBoundingClientRect().right > w + 1 && !e.closest(".wide")).slice(0, 3).map(e => e.outerHTML.slice(0, 120)).join("; ") || "the page"; })()`); over != "" {
		b.t.Errorf("%s: at %d px too wide: %s", name, width, over)
	}
	if small := Ask[string](b, `(() => { const least = document.body.classList.contains("bench") ? 56 : 44;
		return [...document.querySelectorAll("button, .button, input, select, textarea, .step, nav a")].filter(e => e.offsetHeight && e.offsetHeight < least && !["checkbox", "radio"].includes(e.type) && !e.closest(".top")).slice(0, 3).map(e => e.outerHTML.slice(0, 160)).join("; "); })()`); small != "" {
		b.t.Errorf("%s: at %d px too small to touch: %s", name, width, small)
	}
}

// accessible runs axe-core: no serious or critical finding.
func (b *Browser) accessible(name string) {
	b.t.Helper()
	if !Ask[bool](b, `typeof axe === "object"`) {
		Ask[bool](b, axe+"; true")
	}
	found := Ask[[]string](b, `axe.run(document, {resultTypes: ["violations"]}).then(r => r.violations.filter(v => v.impact === "serious" || v.impact === "critical")
		.map(v => v.id + ": " + v.help + ": " + v.nodes.slice(0, 3).map(n => n.html.slice(0, 160) + " " + (n.any[0] || n.all[0] || n.none[0] || {message: ""}).message).join(" | ")))`)
	for _, f := range found {
		b.t.Errorf("%s: %s", name, f)
	}
}

// Media shows the page as on a screen or on paper, light or dark.
func (b *Browser) Media(medium, scheme string) {
	b.t.Helper()
	_, err := chromedp.Call(b.Ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Media: medium, Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
	})
	if err != nil {
		b.t.Fatal(err)
	}
}

// shoot keeps a screenshot of the page, of a long one its first screens, where a folder for it is given.
func (b *Browser) shoot(name string) {
	b.t.Helper()
	if *shots == "" {
		return
	}
	const longest = 6000 // px; what is longer nobody looks at
	layout, err := chromedp.Call(b.Ctx, page.GetLayoutMetrics, cdp.Empty{})
	if err != nil {
		b.t.Fatal(name, err)
	}
	clip := page.Viewport{Width: layout.CSSContentSize.Width, Height: min(layout.CSSContentSize.Height, longest), Scale: 1}
	image, err := chromedp.Call(b.Ctx, page.CaptureScreenshot, page.CaptureScreenshotParams{Clip: &clip, CaptureBeyondViewport: new(true)})
	if err != nil {
		b.t.Fatal(name, err)
	}
	b.keep(name+".png", image.Data)
}

// PDF prints the page on paper, A4 or Letter, and gives the file; with -shots it is kept too.
func (b *Browser) PDF(name, paper string) []byte {
	b.t.Helper()
	params := page.PrintToPDFParams{PaperWidth: 8.27, PaperHeight: 11.69, PrintBackground: new(false)}
	if paper == "Letter" {
		params.PaperWidth, params.PaperHeight = 8.5, 11
	}
	b.Media("print", "light")
	defer b.Media("screen", "light")
	printed, err := chromedp.Call(b.Ctx, page.PrintToPDF, params)
	if err != nil {
		b.t.Fatal(name, err)
	}
	if !strings.HasPrefix(string(printed.Data), "%PDF") {
		b.t.Fatalf("%s: no PDF", name)
	}
	if *shots != "" {
		b.keep(name+"-"+paper+".pdf", printed.Data)
	}
	return printed.Data
}

func (b *Browser) keep(name string, content []byte) {
	b.t.Helper()
	if err := os.MkdirAll(*shots, 0o755); err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(*shots, name), content, 0o644); err != nil {
		b.t.Fatal(err)
	}
}
