package httpd

import (
	"crypto/rand"
	"errors"
	"log/slog"
	"net/http"
	"regexp"
	"strconv"
	"time"

	"github.com/gin-gonic/gin"

	"windingroom/internal/problem"
	"windingroom/internal/workshop"
)

const (
	numberHeader = "X-Request-Id"
	numberKey    = "request id"
)

var passable = regexp.MustCompile(`^[A-Za-z0-9._-]{1,64}$`)

// number gives each request its number: that of the proxy in front where it sent one, else a random one.
func number(c *gin.Context) {
	id := c.GetHeader(numberHeader)
	if !passable.MatchString(id) {
		id = rand.Text()
	}
	c.Set(numberKey, id)
	c.Header(numberHeader, id)
	c.Next()
}

// RequestID gives the number of a request.
func RequestID(c *gin.Context) string { return c.GetString(numberKey) }

// observe writes one line a request and counts it. Neither holds a token, a body, a query or any other text a person sent:
// the route is the pattern, not the address.
func observe(log *slog.Logger, m *metrics) gin.HandlerFunc {
	return func(c *gin.Context) {
		began := time.Now()
		c.Next()
		took := time.Since(began)
		route, status := c.FullPath(), c.Writer.Status()
		if route == "" {
			route = "none"
		}
		m.requests.WithLabelValues(known(c.Request.Method), route, strconv.Itoa(status)).Inc()
		m.durations.WithLabelValues(route).Observe(took.Seconds())
		attrs := []slog.Attr{
			slog.String("request", RequestID(c)),
			slog.String("method", known(c.Request.Method)),
			slog.String("route", route),
			slog.Int("status", status),
			slog.Float64("ms", float64(took.Microseconds())/1000),
		}
		if p, ok := workshop.Acting(c.Request.Context()); ok {
			attrs = append(attrs, slog.String("person", p.Name))
		}
		log.LogAttrs(c.Request.Context(), level(c, route, status), "request", append(attrs, failure(c)...)...)
	}
}

// failure tells what went wrong: a refusal by its name only, since its text may repeat what a person sent; an error inside
// in full, for those who look after the service.
func failure(c *gin.Context) []slog.Attr {
	if len(c.Errors) == 0 {
		return nil
	}
	err := c.Errors.Last().Err
	p := problem.From(err)
	if p.Status < http.StatusInternalServerError {
		return []slog.Attr{slog.String("refused", p.Name())}
	}
	attrs := []slog.Attr{slog.String("error", err.Error())}
	if p := (panicked{}); errors.As(err, &p) {
		attrs = append(attrs, slog.String("stack", string(p.stack)))
	}
	return attrs
}

func level(c *gin.Context, route string, status int) slog.Level {
	switch {
	case status >= http.StatusInternalServerError, len(c.Errors) > 0 && problem.Unknown(c.Errors.Last().Err):
		return slog.LevelError
	case route == "/healthz" || route == "/readyz" || route == "/metrics":
		return slog.LevelDebug
	}
	return slog.LevelInfo
}

// known keeps invented methods out of labels, of which each value costs memory.
func known(method string) string {
	switch method {
	case http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete, http.MethodOptions:
		return method
	}
	return "other"
}
