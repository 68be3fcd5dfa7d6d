package page_test

import (
	"cmp"
	"embed"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"

	"github.com/gin-gonic/gin"

	"windingroom/internal/calendar"
	"windingroom/internal/problem"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/web"
	"windingroom/internal/web/chart"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

//go:embed testdata/gallery.html
var files embed.FS

var gallery = page.Parse(files, "testdata/gallery.html")

// galleryPage holds one of each part.
type galleryPage struct {
	page.Frame
	Head             page.Head
	Tabs             []page.Tab
	Stats            []page.Stat
	Actions          []page.Action
	Fields           []page.Field
	Faults           page.Faults
	Facts            []page.Fact
	Fill             page.Fill
	Nothing          page.Empty
	Table            page.Table
	Columns, Balance page.Chart
}

type spool struct {
	code, wire string
	grams      float64
}

var columns = []page.Column[spool]{
	{Key: "spool", Head: "Spool", Cell: func(s spool) page.Cell { return page.Code(s.code, "/gallery?spool="+s.code) }, Compare: func(a, b spool) int { return cmp.Compare(a.code, b.code) }},
	{Key: "wire", Head: "Wire", Cell: func(s spool) page.Cell {
		return page.Cell{Text: s.wire, Note: "lot L-7", Tags: []page.Tag{{Text: "remnant", Tone: page.Wait}}}
	}, Compare: func(a, b spool) int { return cmp.Compare(a.wire, b.wire) }},
	{Key: "mass", Head: "Free, g", Number: true, Cell: func(s spool) page.Cell { return page.Text(fmt.Sprintf("%.1f", s.grams)) }, Compare: func(a, b spool) int { return cmp.Compare(a.grams, b.grams) }},
	{Head: "Fill", Cell: func(s spool) page.Cell {
		f := page.Of(fmt.Sprintf("%.0f g of 500 g", s.grams), s.grams, 500)
		f.Marked = f.Share / 3
		return page.Cell{Fill: &f}
	}},
}

func spools(n int) []spool {
	var all []spool
	for i := range n {
		all = append(all, spool{fmt.Sprintf("S-%03d", i), []string{"MW-10", "PB-8-22", "NI-24"}[i%3], float64((i * 37) % 500)})
	}
	return all
}

var spec = page.Spec[spool]{ID: "spools", Caption: "Spools", Path: "/gallery", Keep: []string{"day"}, Columns: columns, Search: true, Sort: "spool", Size: 10,
	Choices: []page.Choice[spool]{{Key: "wire", Label: "Wire", Options: []page.Option{{Value: "MW-10", Text: "MW-10"}, {Value: "NI-24", Text: "NI-24"}},
		Keep: func(s spool, v string) bool { return s.wire == v }}},
	Empty: page.Empty{Title: "No spool yet", Text: "Receive a delivery."}}

// memory is a session in memory, for one visitor.
type memory struct {
	mu   sync.Mutex
	said *page.Notice
}

func (m *memory) Say(_ *gin.Context, n page.Notice) { m.mu.Lock(); m.said = &n; m.mu.Unlock() }
func (m *memory) Commit(*gin.Context) error         { return nil }
func (m *memory) Said(*gin.Context) *page.Notice {
	m.mu.Lock()
	defer m.mu.Unlock()
	n := m.said
	m.said = nil
	return n
}

// openGallery serves the gallery to somebody who is a lead.
func openGallery(t testing.TB) *visit.Site {
	t.Helper()
	s := httptest.NewServer(engine())
	t.Cleanup(s.Close)
	return &visit.Site{URL: s.URL}
}

func engine() *gin.Engine {
	gin.SetMode(gin.ReleaseMode)
	e := gin.New()
	e.Use(web.Secure, func(c *gin.Context) {
		c.Request = c.Request.WithContext(workshop.WithPerson(c.Request.Context(), workshop.Person{Name: "Mara", Role: workshop.Lead}))
	})
	site := &page.Site{Shop: "Thornmere String Works", Today: func() calendar.Date { return calendar.NewDate(2026, 3, 2) }, Session: &memory{}}
	r := site.Place(e, page.Wire)
	r.Get("/gallery", show)
	r.Post("/gallery", keep)
	r.Get("/broken", func(*page.Request) (page.Reply, error) { return page.Reply{}, fmt.Errorf("secret") })
	e.GET(page.AssetRoot+"*file", page.ServeAsset)
	r.Get("/list", func(r *page.Request) (page.Reply, error) {
		return page.Show(list, newList(r.Frame("Spools"), r.Request.URL.Query())), nil
	})
	return e
}

func show(r *page.Request) (page.Reply, error) {
	p, err := newGallery(r, page.NewForm(nil))
	return page.Show(gallery, p).Fragment("spot", "alone"), err
}

// keep refuses a gauge that cannot be read and a spool that the shop does not have, and keeps anything else.
func keep(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	page.Read(f, "gauge", r.Units().ParseSize)
	if f.OK() && f.Get("spool") != "S-001" {
		err = f.Refuse(problem.At("spool", fmt.Errorf("no spool %q", f.Get("spool"))))
	}
	if err != nil || !f.OK() {
		p, _ := newGallery(r, f)
		return page.Refused(gallery, p), err
	}
	return r.Back("/gallery", page.Done("Weighed: 402.5 g on S-001.").Undoing("/gallery", "undo", "m-7"), nil)
}

func newGallery(r *page.Request, f *page.Form) (galleryPage, error) {
	p := galleryPage{Frame: r.Frame("Gallery"), Head: page.Head{Place: "Wire", Answer: "Two wires run short this week", Note: "Both have a delivery on its way."}}
	p.Tabs = []page.Tab{{Text: "Spools", Href: "/gallery", Here: true, Count: "35"}, {Text: "Receive", Href: "/gallery?receive=1"}}
	p.Stats = []page.Stat{{Label: "Free wire", Number: "12.45", Unit: "kg"}, {Label: "Late orders", Number: "3", Note: "the oldest since Friday", Href: "/gallery", Tone: page.Wrong},
		{Label: "To count", Number: "2", Tone: page.Wait}, {Label: "Weighed", Number: "18", Tone: page.Good}}
	p.Actions = []page.Action{page.Button("Receive", "/gallery", "spool", "S-001"), page.Link("Labels", "/gallery"), page.Button("Count", "/gallery").As("quiet"),
		page.Button("Write off", "/gallery").Asking("The spool is gone from the stock. Nothing brings it back.")}
	p.Fields = []page.Field{f.Field("spool", "Spool").Required().Scanned().Hinted("Scan the label, or type the code."), f.Field("gauge", "Gauge").Number(r.Units().SizeUnit()).Required(),
		f.Field("day", "Day").Date(), f.Field("wire", "Wire").Choice(page.Option{Value: "", Text: "Choose"}, page.Option{Value: "MW-10", Text: "MW-10"}),
		f.Field("note", "Note").Long(), f.Field("sure", "I have looked").Check(), f.Field("lot", "Lot").Suggesting("L-7", "L-8")}
	p.Faults = f.Said(p.Fields...)
	p.Facts = []page.Fact{{Term: "Lot", Text: "L-7", Href: "/gallery"}, {Term: "Free", Text: "402.5 g"}, {Term: "Runs out", Text: "Fri 6 Mar", Tone: page.Wrong}}
	p.Fill = page.Of("402 g of 500 g", 402, 500)
	p.Nothing = page.Empty{Title: "Nothing to count today", Text: "Spools come up when they have not been weighed for a while.", Actions: []page.Action{page.Link("All spools", "/gallery")}}
	p.Table = page.NewTable(r.Request.URL.Query(), spec, spools(35))
	var err error
	if p.Columns, err = chart.Columns(chart.About{ID: "pull", Title: "Tension by string", Desc: "The G pulls most.", Unit: "N"}, []string{"1 E4", "2 B3", "3 G3", "4 D3", "5 A2", "6 E2"},
		[]chart.Series{{Name: "this set", Values: []float64{72, 68, 75, 82, 80, 76}}, {Name: "the other", Values: []float64{70, 66, 70, 78, 84, 80}}}, []chart.Level{{Name: "limit", Value: 90}}, oneDecimal); err != nil {
		return p, err
	}
	var days []chart.Day
	for i := range 70 {
		v := 6 - float64(i)*.12
		if i >= 40 {
			v += 3
		}
		d := chart.Day{Date: r.Site.Today() + calendar.Date(i), Low: v - .03*float64(i), Value: v, High: v + .03*float64(i)}
		if i == 40 {
			d.Event = "3 kg come from ashdell"
		}
		days = append(days, d)
	}
	p.Balance, err = chart.Balance(chart.About{ID: "balance", Title: "MW-10 in the weeks to come", Desc: "It falls to its order point in April.", Unit: "kg"}, days, "9 of 10 days lie in it",
		[]chart.Level{{Name: "order point", Value: 2.5}}, oneDecimal)
	return p, err
}

func oneDecimal(v float64) string { return fmt.Sprintf("%.1f", v) }

func TestGalleryInBrowser(t *testing.T) {
	site := openGallery(t)
	b := site.Browse(t)
	b.Excuse("422")
	b.Go("/gallery")
	b.Check("gallery")
	b.Width(1280)
	b.Type("#spools-q", "ni-24")
	b.See("#spools-caption .soft")
	if got := visit.Ask[string](b, `document.querySelector("#spools-caption").textContent + " " + location.search`); !strings.Contains(got, "11 of 35") || !strings.Contains(got, "q=ni-24") {
		t.Errorf("filtered: %s", got)
	}
	b.Click("#spools-rows thead th:nth-child(3) a", "th[aria-sort=ascending]")
	b.Type("#f-spool", "S-9")
	b.Type("#f-gauge", "thick\n")
	b.See("#f-gauge-wrong")
	if got := visit.Ask[string](b, `document.querySelector("#f-spool").value + document.querySelector("#f-gauge").getAttribute("aria-describedby") + document.querySelector("#f-gauge").value`); got != "S-9f-gauge-wrongthick" {
		t.Errorf("what was typed is now %q", got)
	}
	b.Check("gallery-refused")
	b.Go("/gallery")
	b.Type("#f-spool", "S-001")
	b.Type("#f-gauge", ".0135 in\n")
	b.See(".undo button")
	b.PDF("gallery", "A4")
	b.PDF("gallery", "Letter")
}

func TestGalleryWithoutJavaScript(t *testing.T) {
	b := openGallery(t).Browse(t)
	b.WithoutJavaScript()
	b.Go("/gallery")
	b.Check("gallery-without-scripts")
	b.Type("#spools-q", "ni-24\n")
	b.See("#spools-caption .soft")
	b.Click(".ask > summary", ".asking button")
}

func TestRefusedFormKeepsWhatWasTyped(t *testing.T) {
	v := openGallery(t).Visit(t)
	v.Post("/gallery", url.Values{"spool": {"S-<9>"}, "gauge": {"13.5"}}).Wants(t, http.StatusUnprocessableEntity,
		[]string{`value="S-&lt;9&gt;"`, `id="f-spool-wrong"`, `aria-invalid="true" aria-describedby="f-spool-hint f-spool-wrong"`, `href="#f-spool"`, "Nothing was kept yet"}, []string{"f-gauge-wrong"})
	if p := v.Post("/gallery", url.Values{"spool": {"S-001"}, "gauge": {"0.343 mm"}}); p.Status != http.StatusSeeOther {
		t.Fatalf("status %d", p.Status)
	}
	v.Get("/gallery").Wants(t, 200, []string{"Weighed: 402.5 g", `name="undo" value="m-7"`, ">Undo<"}, nil)
	v.Get("/gallery").Wants(t, 200, nil, []string{"Weighed: 402.5 g"})
}

func TestFragment(t *testing.T) {
	v := openGallery(t).Visit(t)
	htmx := map[string]string{"HX-Request": "true", "HX-Target": "spot"}
	v.Post("/gallery", url.Values{"spool": {"S-001"}, "gauge": {"1"}})
	p := v.Do("GET", "/gallery", nil, htmx)
	p.Wants(t, 200, []string{`<p id="alone">alone</p>`, `<div id="said" hx-swap-oob="innerHTML">`, "Weighed"}, []string{"<html", "<main"})
	v.Do("GET", "/gallery", nil, map[string]string{"HX-Request": "true", "HX-Target": "spot", "HX-History-Restore-Request": "true"}).Wants(t, 200, []string{"<html"}, nil)
	v.Do("GET", "/gallery", nil, map[string]string{"HX-Request": "true", "HX-Target": "spools-rows"}).Wants(t, 200, []string{"<html"}, nil)
	p = v.Do("GET", "/broken", nil, htmx)
	p.Wants(t, 500, []string{`<div id="said" aria-live="polite">`, "Internal error. Request"}, []string{"<html", "secret"})
	if p.Header.Get("HX-Retarget") != "#said" {
		t.Errorf("a failure goes to %q", p.Header.Get("HX-Retarget"))
	}
}
