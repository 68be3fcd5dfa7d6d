// Package web is the door for people: pages made on the server with html/template, one struct for each page. They work
// without JavaScript, on a bench tablet and on paper. This package puts the places together, each a package below it, and keeps
// sessions; what the places share is in page. A handler asks one use case and answers with a reply; page turns replies and errors
// into HTTP.
package web

import (
	"context"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"windingroom/internal/httpd"
	"windingroom/internal/problem"
	"windingroom/internal/units"
	"windingroom/internal/web/books"
	"windingroom/internal/web/buying"
	"windingroom/internal/web/jobs"
	"windingroom/internal/web/orders"
	"windingroom/internal/web/page"
	"windingroom/internal/web/people"
	"windingroom/internal/web/sets"
	"windingroom/internal/web/today"
	"windingroom/internal/web/wire"
	"windingroom/internal/workshop"
)

// server answers the pages' requests for one shop.
type server struct {
	shop *workshop.Shop
	site *page.Site
}

// Options is what the pages need beside the shop.
type Options struct {
	Units     units.Units      // in which quantities are shown and typed; their zone is the shop's where it has none
	NextNight func() time.Time // run of the nightly jobs; nil where the program runs none
	Jobs      []string         // their names, in the order in which they run
	Ending    context.Context  // of the server: what it does without anyone waiting ends with it; nil: never
}

// Register puts the pages on an engine made by httpd.Engine. What no route answers is answered here: under /api as a problem
// document, elsewhere as a page.
func Register(e *gin.Engine, shop *workshop.Shop, o Options) {
	if o.Units.Zone == nil {
		o.Units.Zone = shop.Zone
	}
	s := &server{shop: shop}
	s.site = &page.Site{Shop: shop.Name, Today: shop.Today, Units: o.Units, Session: s}
	g := e.Group("/", Secure, sameOrigin(s.site.Fail), s.session, httpd.Recover(s.site.Fail))
	s.places(g, o)
	e.GET(page.AssetRoot+"*file", Secure, page.ServeAsset)
	e.NoRoute(Secure, s.missing(problem.ErrNoRoute))
	e.NoMethod(Secure, s.missing(problem.ErrMethod))
}

// places is the table of contents, in the order of the bar.
func (s *server) places(g *gin.RouterGroup, o Options) {
	g.GET("/sign-in", s.site.Open(s.signInForm))
	g.POST("/sign-in", s.site.Open(s.signIn))
	g.POST("/sign-out", s.site.Open(s.signOut))
	g.GET("/problems/:name", s.site.Open(s.explain))

	today.Register(s.site, g, s.shop)
	wire.Register(s.site, g, s.shop)
	orders.Register(s.site, g, s.shop)
	buying.Register(s.site, g, s.shop)
	sets.Register(s.site, g, s.shop)
	books.Register(s.site, g, s.shop, o.Ending)
	people.Register(s.site, g, s.shop, s)
	jobs.Register(s.site, g, s.shop, o.NextNight, o.Jobs)
}

func (s *server) missing(err error) gin.HandlerFunc {
	return func(c *gin.Context) {
		if strings.HasPrefix(c.Request.URL.Path, "/api/") {
			httpd.WriteProblem(c, err)
			return
		}
		s.site.Fail(c, err)
	}
}
