package web_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"windingroom/internal/calendar"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// TestInBrowser goes through a lead's morning in a real browser, on a tablet and on a desk screen. Set WINDINGROOM_SCREENSHOTS
// to a folder to keep what it saw.
func TestInBrowser(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	root := open(t, shop, io.Discard).URL
	b := browse(t, root)
	token := testkit.Token(t, shop, workshop.Lead)

	b.do("open", chromedp.EmulateViewport(1280, 900), chromedp.Navigate(root+"/"), chromedp.WaitVisible(chromedp.CSS("#token")))
	b.shoot("1-sign-in")
	b.do("sign in with a slip", chromedp.SendKeys(chromedp.CSS("#token"), "wr_slip\n"), chromedp.WaitVisible(chromedp.CSS("#wrong")))
	b.allowed("422") // the browser's console notes the refusal's status
	b.do("sign in", chromedp.SendKeys(chromedp.CSS("#token"), token+"\n"), chromedp.WaitVisible(chromedp.CSS("form[action$='/propose'] button")))
	b.shoot("2-no-plan")
	b.do("propose", chromedp.Click(chromedp.CSS("form[action$='/propose'] button")), chromedp.WaitVisible(chromedp.CSS(".chip.proposed")))
	b.shoot("3-proposed")
	b.do("open the first batch's changes", chromedp.Click(chromedp.CSS(".batches tbody .change summary")), chromedp.WaitVisible(chromedp.CSS(".batches .change[open] button[name=hold]")))
	b.touchable("changes", 1280)
	b.shoot("3a-change-1280")
	b.do("on a tablet", chromedp.EmulateViewport(768, 900))
	b.touchable("changes", 768)
	b.shoot("3b-change-768")
	b.do("hold", chromedp.EmulateViewport(1280, 900), chromedp.Click(chromedp.CSS(".batches .change[open] button[name=hold]")), chromedp.WaitVisible(chromedp.CSS(".held button[name=resume]")))
	b.do("see what changed", chromedp.Click(chromedp.CSS("#changed")), chromedp.WaitVisible(chromedp.CSS(".differences li")))
	b.shoot("3c-held-1280")
	b.touchable("held", 1280)
	b.do("look ahead", chromedp.Click(chromedp.CSS("a[href^='/ahead']")), chromedp.WaitVisible(chromedp.CSS("svg.load")))
	for _, width := range []int64{1280, 768} {
		b.do("resize", chromedp.EmulateViewport(width, 900))
		b.touchable("ahead", width)
		b.shoot(fmt.Sprintf("3d-ahead-%d", width))
	}
	for _, page := range []struct{ link, shows, name string }{{"/buying", "main .empty", "3e-no-night"}, {"/jobs", "main .found", "3f-no-jobs"}} {
		b.do("open "+page.link, chromedp.Click(chromedp.CSS("nav a[href='"+page.link+"']")), chromedp.WaitVisible(chromedp.CSS(page.shows)))
		for _, width := range []int64{768, 1280} {
			b.do("resize", chromedp.EmulateViewport(width, 900))
			b.touchable(page.link, width)
			b.shoot(fmt.Sprintf("%s-%d", page.name, width))
		}
	}
	night(t, shop)
	b.do("the morning's list", chromedp.Click(chromedp.CSS("nav a[href='/buying']")), chromedp.WaitVisible(chromedp.CSS(".alert")))
	b.do("answer the first alert", chromedp.Click(chromedp.CSS(".alert .change summary")), chromedp.WaitVisible(chromedp.CSS(".alert .change[open] button")))
	for _, width := range []int64{1280, 768} {
		b.do("resize", chromedp.EmulateViewport(width, 900))
		b.touchable("buying", width)
		b.shoot(fmt.Sprintf("3g-buying-%d", width))
	}
	b.do("note it", chromedp.SendKeys(chromedp.CSS(".alert .change[open] input[name=reason]"), "comes by van\n"), chromedp.WaitVisible(chromedp.CSS("#answered")))
	b.touchable("answered", 768)
	b.do("look at the jobs", chromedp.Click(chromedp.CSS("nav a[href='/jobs']")), chromedp.WaitVisible(chromedp.CSS("#last")))
	for _, width := range []int64{768, 1280} {
		b.do("resize", chromedp.EmulateViewport(width, 900))
		b.touchable("jobs", width)
		b.shoot(fmt.Sprintf("3h-jobs-%d", width))
	}
	b.do("back", chromedp.EmulateViewport(1280, 900), chromedp.Navigate(root+"/"), chromedp.WaitVisible(chromedp.CSS("form[action$='/release'] button")))
	b.do("release", chromedp.Click(chromedp.CSS("form[action$='/release'] button")), chromedp.WaitVisible(chromedp.CSS(".chip.released")))
	for _, width := range []int64{1280, 768} {
		b.do("resize", chromedp.EmulateViewport(width, 900))
		b.shoot(fmt.Sprintf("4-released-%d", width))
		b.touchable("released", width)
	}
	if n := ask[int](b, `document.querySelectorAll(".batches tbody").length`); n == 0 {
		t.Error("no batch is seen")
	}
	if bars, batches := ask[int](b, `document.querySelectorAll("svg.day a").length`), ask[int](b, `document.querySelectorAll(".batches tbody").length`); bars != batches {
		t.Errorf("%d bars for %d batches", bars, batches)
	}
	if loose := ask[string](b, `[...document.querySelectorAll("svg.day a")].filter(a => !document.getElementById(a.getAttribute("href").slice(1))).length + ""`); loose != "0" {
		t.Errorf("%s bars lead nowhere", loose)
	}
	b.media("screen", "dark")
	b.shoot("5-dark")
	b.media("print", "light")
	b.shoot("6-print")
	b.media("screen", "light")
	b.do("sign out", chromedp.Click(chromedp.CSS(".who button")), chromedp.WaitVisible(chromedp.CSS("#token")))
	b.check()
}

// night has the nightly check run twice, so that there is a night before, and its runs recorded.
func night(t *testing.T, shop *workshop.Shop) {
	t.Helper()
	ctx := workshop.WithPerson(t.Context(), workshop.Person{Name: "nightly jobs", Role: workshop.Lead})
	if _, err := shop.RunNight(ctx, testkit.Day(t)-3); err != nil {
		t.Fatal(err)
	}
	found := runNight(t, shop).Headline()
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

// touchable says whether a page fits its width and everything on it is large enough for a finger.
func (b *browser) touchable(page string, width int64) {
	b.t.Helper()
	if over := ask[float64](b, "document.documentElement.scrollWidth - document.documentElement.clientWidth"); over > 0 {
		b.t.Errorf("%s: at %d px the page is %.0f px too wide", page, width, over)
	}
	if small := ask[string](b, `[...document.querySelectorAll("button, .button, input, select, .step, nav a")].filter(e => e.offsetHeight && e.offsetHeight < 44).map(e => e.outerHTML).join()`); small != "" {
		b.t.Errorf("%s: at %d px too small to touch: %s", page, width, small)
	}
}

// browser is Chromium with one tab, and what it complained of.
type browser struct {
	t      *testing.T
	ctx    context.Context
	root   string
	folder string

	mu         sync.Mutex
	complaints []string
	excused    []string
}

func browse(t *testing.T, root string) *browser {
	t.Helper()
	b := &browser{t: t, root: root, folder: os.Getenv("WINDINGROOM_SCREENSHOTS")}
	path := testkit.Chromium(t)
	if b.folder == "" {
		b.folder = t.TempDir()
	}
	ctx, cancel := context.WithTimeout(t.Context(), 90*time.Second)
	t.Cleanup(cancel)
	ctx, stop := chromedp.NewExecAllocator(ctx,
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.Headless, chromedp.UserDataDir(t.TempDir()),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("hide-scrollbars", true))
	t.Cleanup(stop)
	tab, closeTab := chromedp.NewContext(ctx, chromedp.WithListener(b.hear))
	t.Cleanup(closeTab)
	b.ctx = tab
	return b
}

// hear notes every complaint of the console and every request that leaves the host.
func (b *browser) hear(event any) {
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
		if !strings.HasPrefix(e.Request.URL, b.root+"/") && !strings.HasPrefix(e.Request.URL, "data:") { // the browser's own icons
			b.complain("left the host for " + e.Request.URL)
		}
	}
}

func (b *browser) complain(text string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.complaints = append(b.complaints, text)
}

// allowed excuses complaints that hold a text.
func (b *browser) allowed(text string) { b.excused = append(b.excused, text) }

func (b *browser) check() {
	b.t.Helper()
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

func (b *browser) do(what string, steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.t.Fatalf("%s: %v", what, err)
	}
}

// ask evaluates an expression in the page.
func ask[T any](b *browser, expression string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		b.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// media shows the page as on a screen or on paper, light or dark.
func (b *browser) media(medium, scheme string) {
	b.t.Helper()
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Media: medium, Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
	})
	if err != nil {
		b.t.Fatal(err)
	}
}

func (b *browser) shoot(name string) {
	b.t.Helper()
	image, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	if err != nil {
		b.t.Fatal(name, err)
	}
	if err := os.WriteFile(filepath.Join(b.folder, name+".png"), image, 0o644); err != nil {
		b.t.Fatal(err)
	}
}
