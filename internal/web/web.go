// Package web is the door for people: pages made on the server with html/template, one struct for each page. They work
// without JavaScript, on a bench tablet and on paper. A handler asks one use case and answers with a reply; one adapter turns
// replies and errors into HTTP.
package web

import (
	"net/http"
	"strings"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/gin-gonic/gin"

	"windingroom/internal/httpd"
	"windingroom/internal/problem"
	"windingroom/internal/workshop"
)

// server answers the pages' requests for one shop.
type server struct {
	shop     *workshop.Shop
	sessions *scs.SessionManager
	next     func() time.Time // run of the nightly jobs; nil where this program runs none
}

// Register puts the pages on an engine made by httpd.Engine. What no route answers is answered here: under /api as a problem
// document, elsewhere as a page. next gives the next run of the nightly jobs; nil where the program runs none.
func Register(e *gin.Engine, shop *workshop.Shop, next func() time.Time) {
	s := &server{shop: shop, sessions: newSessions(), next: next}
	pages := e.Group("/", secure, sameOrigin(s.fail), s.session, httpd.Recover(s.fail))
	s.routes(pages)
	e.GET(assetRoot+"*file", secure, asset)
	e.NoRoute(secure, s.missing(problem.ErrNoRoute))
	e.NoMethod(secure, s.missing(problem.ErrMethod))
}

// routes is the table of contents, in the order of the places.
func (s *server) routes(g *gin.RouterGroup) {
	g.GET("/sign-in", s.page(s.signInForm))
	g.POST("/sign-in", s.page(s.signIn))
	g.POST("/sign-out", s.page(s.signOut))

	g.GET("/", s.page(s.known(s.today)))
	g.POST("/days/:date/propose", s.page(s.known(s.propose)))
	g.POST("/days/:date/release", s.page(s.known(s.release)))
	g.POST("/days/:date/changes", s.page(s.known(s.change)))
	g.POST("/days/:date/batches/:batch/take-back", s.page(s.known(s.takeBack)))
	g.GET("/days/:date/sheets.xlsx", s.page(s.known(s.sheets)))

	g.GET("/ahead", s.page(s.known(s.ahead)))

	g.GET("/buying", s.page(s.known(s.buying)))
	g.POST("/buying/answers", s.page(s.known(s.answer)))
	g.GET("/jobs", s.page(s.known(s.jobs)))

	g.GET("/problems/:name", s.page(s.explain))
}

func (s *server) missing(err error) gin.HandlerFunc {
	return func(c *gin.Context) {
		if strings.HasPrefix(c.Request.URL.Path, "/api/") {
			httpd.WriteProblem(c, err)
			return
		}
		s.fail(c, err)
	}
}

// known lets only those in who are signed in. Whoever is not signs in and comes back, to the page they asked for or, from a
// form, to Today.
func (s *server) known(handle handler) handler {
	return func(c *gin.Context) (reply, error) {
		if _, ok := workshop.Acting(c.Request.Context()); ok {
			return handle(c)
		}
		to := "/sign-in"
		if c.Request.Method == http.MethodGet {
			to += "?next=" + escape(c.Request.URL.RequestURI())
		}
		return redirect(to), nil
	}
}
