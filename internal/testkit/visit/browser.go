package visit

import (
	"context"
	"flag"
	"fmt"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

var shots = flag.String("shots", "", "folder for screenshots of every page that is checked in the browser")

// Widths are those at which pages are checked: a phone, a bench tablet, a desk.
var Widths = []int64{390, 768, 1280}

// Browser is Chromium with one tab, and what it complained of.
type Browser struct {
	Ctx  context.Context // of the tab, for chromedp
	t    testing.TB
	site *Site

	mu         sync.Mutex
	complaints []string
	excused    []string
	scripts    bool
}

// Browse opens a browser for at most two minutes. When the test ends it fails for every error of the console and every request that
// left the host, unless Excuse took it.
func (s *Site) Browse(t testing.TB) *Browser {
	t.Helper()
	path := testkit.Chromium(t)
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	t.Cleanup(cancel)
	ctx, stop := chromedp.NewExecAllocator(ctx,
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.Headless, chromedp.UserDataDir(t.TempDir()),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("hide-scrollbars", true))
	t.Cleanup(stop)
	b := &Browser{t: t, site: s, scripts: true}
	tab, closeTab := chromedp.NewContext(ctx, chromedp.WithListener(b.hear))
	t.Cleanup(closeTab)
	t.Cleanup(b.quiet)
	b.Ctx = tab
	if _, err := chromedp.Call(tab, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true}); err != nil {
		t.Fatal(err) // without it a window that nobody looks at shows no focus
	}
	return b
}

// BrowseAs opens a browser in which someone with a role is signed in.
func (s *Site) BrowseAs(t testing.TB, role workshop.Role) *Browser {
	t.Helper()
	b := s.Browse(t)
	b.SignIn(role)
	return b
}

// SignIn signs in as someone with a role, without the page for it.
func (b *Browser) SignIn(role workshop.Role) {
	b.t.Helper()
	address, err := url.Parse(b.site.URL)
	if err != nil {
		b.t.Fatal(err)
	}
	for _, c := range b.site.As(b.t, role).client.Jar.Cookies(address) {
		if _, err := chromedp.Call(b.Ctx, network.SetCookie, network.SetCookieParams{Name: c.Name, Value: c.Value, URL: b.site.URL, HTTPOnly: new(true)}); err != nil {
			b.t.Fatal(err)
		}
	}
}

// Go opens an address of the site.
func (b *Browser) Go(path string) {
	b.t.Helper()
	b.Do("go to "+path, chromedp.Navigate(b.site.URL+path))
}

// Do runs steps of chromedp; what names them where one fails.
func (b *Browser) Do(what string, steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.Ctx, steps...); err != nil {
		b.t.Fatalf("%s: %v", what, err)
	}
}

// Click clicks what a CSS selector finds and waits until another is seen.
func (b *Browser) Click(selector, then string) {
	b.t.Helper()
	b.Do("click "+selector, chromedp.Click(chromedp.CSS(selector)), chromedp.WaitVisible(chromedp.CSS(then)))
}

// Leave clicks what leads to another page and waits for that one, also where the page it leaves shows the same.
func (b *Browser) Leave(selector, then string) {
	b.t.Helper()
	Ask[any](b, `document.body.dataset.before = "yes"`)
	b.Click(selector, "body:not([data-before]) "+then)
}

// Type types into the field that a CSS selector finds; "\n" is the return key.
func (b *Browser) Type(selector, text string) {
	b.t.Helper()
	b.Do("type into "+selector, chromedp.SendKeys(chromedp.CSS(selector), text))
}

// See waits until what a CSS selector finds is seen.
func (b *Browser) See(selector string) {
	b.t.Helper()
	b.Do("see "+selector, chromedp.WaitVisible(chromedp.CSS(selector)))
}

// Gone waits until a CSS selector finds nothing any more, as when a part of the page is put in place of another.
func (b *Browser) Gone(selector string) {
	b.t.Helper()
	b.Do("see "+selector+" gone", chromedp.WaitNotPresent(chromedp.CSS(selector)))
}

// Width makes the window as wide as a device.
func (b *Browser) Width(width int64) {
	b.t.Helper()
	b.Do("resize", chromedp.EmulateViewport(width, 900))
}

// WithoutJavaScript switches the page's scripts off, from the next page on.
func (b *Browser) WithoutJavaScript() {
	b.t.Helper()
	if _, err := chromedp.Call(b.Ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		b.t.Fatal(err)
	}
	b.scripts = false
}

// Ask evaluates an expression in the page.
func Ask[T any](b *Browser, expression string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.Ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("%.200s: %v", expression, err)
	}
	return v
}

// Excuse takes complaints that hold a text: the browser notes each answer with status 422 and the like.
func (b *Browser) Excuse(text string) { b.excused = append(b.excused, text) }

// hear notes every complaint of the console and every request that leaves the host.
func (b *Browser) hear(event any) {
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		b.complain("exception: " + e.ExceptionDetails.Text)
	case *runtime.EventConsoleAPICalled:
		b.complain(fmt.Sprintf("console: %v", e.Type))
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelVerbose || e.Entry.Level == log.EntryLevelInfo { // advice, such as to ask for a name beside a secret
			return
		}
		b.complain(fmt.Sprintf("%v: %s %s", e.Entry.Level, e.Entry.Text, e.Entry.URL))
	case *network.EventRequestWillBeSent:
		if !strings.HasPrefix(e.Request.URL, b.site.URL+"/") && !strings.HasPrefix(e.Request.URL, "data:") { // the browser's own icons
			b.complain("left the host for " + e.Request.URL)
		}
	}
}

func (b *Browser) complain(text string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.complaints = append(b.complaints, text)
}

func (b *Browser) quiet() {
	b.mu.Lock()
	defer b.mu.Unlock()
next:
	for _, c := range b.complaints {
		for _, e := range b.excused {
			if strings.Contains(c, e) {
				continue next
			}
		}
		b.t.Error(c)
	}
}
