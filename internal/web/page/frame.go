package page

import (
	"crypto/rand"
	"embed"
	"html/template"
	"io/fs"

	"windingroom/internal/problem"
	"windingroom/internal/units"
	"windingroom/internal/workshop"
)

// Frame is what every page shows around its own part. A page's struct embeds it.
type Frame struct {
	Title   string // of the window; short
	Place   Place
	Shop    string
	Day     string           // the shop's present day, in words
	Person  *workshop.Person // nil when nobody is signed in
	Places  []PlaceLink
	Units   units.Units
	Notice  *Notice
	Key     string   // new for every page: with a suffix for each form, a form's idempotency key
	Bench   bool     // larger type and buttons, for the tablet beside a machine
	Scripts []string // addresses of the page's own scripts, from Asset
	Refresh int      // seconds after which the page is loaded anew where no JavaScript runs; 0: never
}

// PlaceLink is a place in the bar.
type PlaceLink struct {
	Place
	Here bool // the page stands in it
}

// Frame makes the frame of a page and takes what was said for it.
func (r *Request) Frame(title string) Frame {
	f := r.bare(title)
	f.Notice = r.Site.Session.Said(r.Context)
	return f
}

func (r *Request) bare(title string) Frame {
	f := Frame{Title: title, Place: r.place, Shop: r.Site.Shop, Day: r.Site.Units.LongDate(r.Site.Today()), Units: r.Site.Units, Key: rand.Text()}
	if p, ok := r.Person(); ok {
		f.Person = &p
	}
	for _, p := range inOrder {
		if r.Offers(p) {
			f.Places = append(f.Places, PlaceLink{p, p == r.place})
		}
	}
	return f
}

// framed is a page: whatever embeds Frame.
type framed interface{ frame() Frame }

func (f Frame) frame() Frame { return f }

// Addresses of what every page loads.
func (Frame) StyleAddress() string { return styleAddress }
func (Frame) IconAddress() string  { return iconAddress }
func (Frame) HTMXAddress() string  { return htmxAddress }

// HTMXConfig keeps htmx from evaluating text as a program and from writing styles, both of which the policy forbids, and lets it
// show refusals.
func (Frame) HTMXConfig() string {
	return `{"allowEval":false,"includeIndicatorStyles":false,"selfRequestsOnly":true,"historyCacheSize":0,"scrollBehavior":"auto",` +
		`"responseHandling":[{"code":"204","swap":false},{"code":"[23]..","swap":true},{"code":"422","swap":true},{"code":"[45]..","swap":true,"error":true}]}`
}

//go:embed templates/*.html
var own embed.FS

// layout is the template that a page begins with.
const layout = "layout.html"

var (
	parts         = template.Must(template.New(layout).ParseFS(own, "templates/layout.html", "templates/parts.html", "templates/form.html", "templates/table.html"))
	errorTemplate = template.Must(template.Must(parts.Clone()).ParseFS(own, "templates/error.html"))
)

// Parse makes a page of a place's template files, which define "main" and what it uses, with the layout and the parts. A file
// that does not parse is a mistake of the program and panics.
func Parse(files fs.FS, names ...string) *template.Template {
	return template.Must(template.Must(parts.Clone()).ParseFS(files, names...))
}

// errorPage shows what was refused or went wrong.
type errorPage struct {
	Frame
	Problem problem.Problem
}
