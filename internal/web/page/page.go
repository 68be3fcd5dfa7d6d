// Package page is what the places of the pages share: how a request reaches a handler and its reply becomes HTML, the frame
// round every page, forms that keep what was typed, tables that sort and filter by address, and the parts that templates put
// together. Pages work without JavaScript; where it runs, htmx replaces a part of a page instead of the whole.
package page

import (
	"context"
	"slices"
	"time"

	"github.com/gin-gonic/gin"

	"windingroom/internal/calendar"
	"windingroom/internal/units"
	"windingroom/internal/workshop"
)

// Place is one of the places that people go to from the bar on top of every page.
type Place struct {
	Name  string
	Path  string
	Minor bool // beside the places of the day: seldom gone to
}

// The places, in the order of the bar.
var (
	Today  = Place{Name: "Today", Path: "/"}
	Orders = Place{Name: "Orders", Path: "/orders"}
	Sets   = Place{Name: "Sets", Path: "/sets"}
	Wire   = Place{Name: "Wire", Path: "/wire"}
	Buying = Place{Name: "Buying", Path: "/buying"}
	Books  = Place{Name: "Books", Path: "/books"}
	People = Place{Name: "People", Path: "/people", Minor: true}
	Jobs   = Place{Name: "Jobs", Path: "/jobs", Minor: true}
)

var inOrder = []Place{Today, Orders, Sets, Wire, Buying, Books, People, Jobs}

// Site is the shop as its pages show it.
type Site struct {
	Shop    string // its name
	Today   func() calendar.Date
	Units   units.Units
	Session Session

	open []opened // places that have pages
}

// opened is a place that has pages, and who may go there beside an owner: everyone where it names no roles.
type opened struct {
	place Place
	roles []workshop.Role
}

// Session is what is kept between the requests of one browser.
type Session interface {
	Say(*gin.Context, Notice)    // leaves a sentence for the next page
	Said(*gin.Context) *Notice   // takes the sentence that was left
	Commit(c *gin.Context) error // keeps what changed, before an answer is written
}

// Zone gives the shop's time zone.
func (s *Site) Zone() *time.Location {
	if s.Units.Zone == nil {
		return time.UTC
	}
	return s.Units.Zone
}

// Routes puts the pages of one place on the engine. Who is not signed in signs in first and comes back.
type Routes struct {
	site  *Site
	group gin.IRouter
	place Place
}

// Place opens a place: it stands in the bar from now on, and its pages are marked there. Where roles are named it stands there only for
// them and for an owner; its use cases refuse all others.
func (s *Site) Place(g gin.IRouter, place Place, roles ...workshop.Role) Routes {
	if !slices.ContainsFunc(s.open, func(o opened) bool { return o.place == place }) {
		s.open = append(s.open, opened{place, roles})
	}
	return Routes{s, g, place}
}

// Offers says whether a place has pages for who is signed in: a link there leads somewhere.
func (r *Request) Offers(place Place) bool {
	return slices.ContainsFunc(r.Site.open, func(o opened) bool { return o.place == place && (len(o.roles) == 0 || r.May(o.roles...)) })
}

// Get answers an address that is looked at; HEAD asks for the same without its body, which net/http leaves away.
func (r Routes) Get(path string, handle Handler) {
	h := r.site.handle(r.place, known(handle))
	r.group.GET(path, h)
	r.group.HEAD(path, h)
}

// Post answers a form.
func (r Routes) Post(path string, handle Handler) {
	r.group.POST(path, r.site.handle(r.place, known(handle)))
}

// Open adapts a handler that answers also who is not signed in; its page stands in no place.
func (s *Site) Open(handle Handler) gin.HandlerFunc { return s.handle(Place{}, handle) }

// Request is what a handler answers. It is gin's context with what pages need.
type Request struct {
	*gin.Context
	Site  *Site
	place Place
}

// Ctx is the request's context, with the acting person in it.
func (r *Request) Ctx() context.Context { return r.Request.Context() }

// Units gives the shop's units.
func (r *Request) Units() units.Units { return r.Site.Units }

// Person gives who is signed in.
func (r *Request) Person() (workshop.Person, bool) { return workshop.Acting(r.Ctx()) }

// May says whether who is signed in has one of the roles, or is an owner, who may do everything. The use cases decide; this
// is for what a page offers.
func (r *Request) May(roles ...workshop.Role) bool {
	p, ok := r.Person()
	return ok && (p.Role == workshop.Owner || slices.Contains(roles, p.Role))
}

// Date reads a day of the query or, where it names none, gives the shop's present day. The error names the field.
func (r *Request) Date(field string) (calendar.Date, error) {
	text := r.Query(field)
	if text == "" {
		return r.Site.Today(), nil
	}
	return parseDate(field, text)
}

// DateParam reads a day of the path. The error names the field.
func (r *Request) DateParam(field string) (calendar.Date, error) {
	return parseDate(field, r.Param(field))
}
