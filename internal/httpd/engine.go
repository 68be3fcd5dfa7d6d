// Package httpd is what the pages and the API share of HTTP: one engine that gives each request a number, one line in the
// log and its place in the metrics, bounds what a request may send, survives a panic, and says whether the service is up.
package httpd

import (
	"context"
	"io"
	"log/slog"
	"net/http"
	"time"

	"github.com/gin-gonic/gin"

	"windingroom/internal/workshop"
)

// maxBody bounds what a request may send.
const maxBody = 1 << 20

// Engine makes the engine on which the API and the pages register, with /healthz, /readyz and /metrics on it.
func Engine(shop *workshop.Shop, log *slog.Logger, build Build) *gin.Engine {
	gin.SetMode(gin.ReleaseMode)
	e := gin.New()
	e.HandleMethodNotAllowed = true
	if err := e.SetTrustedProxies(nil); err != nil { // cannot fail without proxies
		panic(err)
	}
	m := newMetrics(build)
	m.registry.MustRegister(jobStates{shop})
	e.Use(number, observe(log, m), unguessed, Recover(WriteProblem), limitBody)
	looks := []string{http.MethodGet, http.MethodHead} // a balancer in front may ask either way
	e.Match(looks, "/healthz", func(c *gin.Context) { c.String(http.StatusOK, "up\n") })
	e.Match(looks, "/readyz", ready(shop))
	e.GET("/metrics", gin.WrapH(m.handler()))
	return e
}

// ready says whether the service can serve: the database answers and stands at the newest migration.
func ready(shop *workshop.Shop) gin.HandlerFunc {
	return func(c *gin.Context) {
		ctx, cancel := context.WithTimeout(c.Request.Context(), 2*time.Second)
		defer cancel()
		if err := shop.Store.Ready(ctx); err != nil {
			WriteProblem(c, notReady{err})
			return
		}
		c.String(http.StatusOK, "ready\n")
	}
}

// notReady presents whatever keeps the database from answering as the one refusal it is to the outside.
type notReady struct{ cause error }

func (e notReady) Error() string   { return e.cause.Error() }
func (e notReady) Unwrap() []error { return []error{workshop.ErrNotReady, e.cause} }

// unguessed keeps browsers from guessing what an answer is: it is what its Content-Type says.
func unguessed(c *gin.Context) {
	c.Header("X-Content-Type-Options", "nosniff")
	c.Next()
}

const bodyKey = "body"

// Allow lets a request send more than others may: an upload. It stands before anything is read.
func Allow(c *gin.Context, most int64) {
	if body, ok := c.Get(bodyKey); ok {
		c.Request.Body = http.MaxBytesReader(c.Writer, body.(io.ReadCloser), most) // limitBody alone sets it
	}
}

func limitBody(c *gin.Context) {
	c.Set(bodyKey, c.Request.Body)
	c.Request.Body = http.MaxBytesReader(c.Writer, c.Request.Body, maxBody)
	c.Next()
}
