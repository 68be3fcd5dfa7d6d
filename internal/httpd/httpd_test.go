package httpd_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/gin-gonic/gin"

	"windingroom/internal/httpd"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// engine makes an engine with a route for everything that can happen to a request, and its log.
func engine(t *testing.T, shop *workshop.Shop) (*gin.Engine, *bytes.Buffer) {
	t.Helper()
	var log bytes.Buffer
	e := httpd.Engine(shop, slog.New(slog.NewJSONHandler(&log, &slog.HandlerOptions{Level: slog.LevelDebug})), httpd.Build{Version: "1.2", Commit: "abc"})
	e.GET("/fine/:name", func(c *gin.Context) {
		c.Request = c.Request.WithContext(workshop.WithPerson(c.Request.Context(), workshop.Person{Name: "Ann", Role: workshop.Lead}))
		c.String(http.StatusOK, "fine")
	})
	e.GET("/refused", func(c *gin.Context) { httpd.WriteProblem(c, fmt.Errorf("spool private: %w", workshop.ErrNotFound)) })
	e.GET("/unknown", func(c *gin.Context) { httpd.WriteProblem(c, errors.New("secret")) })
	e.GET("/panic", func(*gin.Context) { panic("secret") })
	e.GET("/late-panic", func(c *gin.Context) { c.String(http.StatusOK, "half"); panic("secret") })
	e.POST("/body", func(c *gin.Context) {
		if _, err := io.ReadAll(c.Request.Body); err != nil {
			httpd.WriteProblem(c, err)
		}
	})
	e.POST("/upload", func(c *gin.Context) {
		httpd.Allow(c, 2<<20)
		if _, err := io.ReadAll(c.Request.Body); err != nil {
			httpd.WriteProblem(c, err)
		}
	})
	return e, &log
}

func ask(e http.Handler, method, path, body string, headers map[string]string) *httptest.ResponseRecorder {
	req := httptest.NewRequest(method, path, strings.NewReader(body))
	for k, v := range headers {
		req.Header.Set(k, v)
	}
	rec := httptest.NewRecorder()
	e.ServeHTTP(rec, req)
	return rec
}

// line reads the last line of the log.
func line(t *testing.T, log *bytes.Buffer) map[string]any {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(log.String()), "\n")
	var entry map[string]any
	if err := json.Unmarshal([]byte(lines[len(lines)-1]), &entry); err != nil {
		t.Fatal(err, log)
	}
	return entry
}

func TestEveryRequestIsNotedOnce(t *testing.T) {
	tests := []struct {
		name, path string
		wantStatus int
		want       map[string]any
		wantNot    []string // must not be in the line
	}{
		{"fine", "/fine/private?token=wr_private", 200, map[string]any{"level": "INFO", "route": "/fine/:name", "person": "Ann"}, []string{"private"}},
		{"refused", "/refused", 404, map[string]any{"level": "INFO", "refused": "not-found"}, []string{"private"}},
		{"unknown", "/unknown", 500, map[string]any{"level": "ERROR", "error": "secret"}, nil},
		{"panic", "/panic", 500, map[string]any{"level": "ERROR", "error": "panic: secret"}, nil},
		{"panic after the answer", "/late-panic", 200, map[string]any{"level": "ERROR", "error": "panic: secret"}, nil},
		{"nowhere", "/private", 404, map[string]any{"level": "INFO", "route": "none"}, []string{"private"}},
		{"health", "/healthz", 200, map[string]any{"level": "DEBUG"}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			e, log := engine(t, testkit.Shop(t))
			rec := ask(e, "GET", tt.path, "", nil)
			if rec.Code != tt.wantStatus {
				t.Errorf("status %d, want %d", rec.Code, tt.wantStatus)
			}
			if n := strings.Count(log.String(), "\n"); n != 1 {
				t.Errorf("%d lines: %s", n, log)
			}
			entry := line(t, log)
			for k, want := range tt.want {
				if entry[k] != want {
					t.Errorf("%s is %v, want %v", k, entry[k], want)
				}
			}
			if id := rec.Header().Get("X-Request-Id"); id == "" || entry["request"] != id {
				t.Errorf("request %v is answered as %q", entry["request"], id)
			}
			if _, ok := entry["ms"].(float64); !ok || entry["method"] != "GET" || entry["status"] != float64(tt.wantStatus) {
				t.Errorf("the line lacks something: %s", log)
			}
			for _, no := range tt.wantNot {
				if strings.Contains(log.String(), no) {
					t.Errorf("the line holds %q: %s", no, log)
				}
			}
			if strings.Contains(rec.Body.String(), "secret") {
				t.Errorf("answered %s", rec.Body)
			}
		})
	}
}

func TestRequestNumber(t *testing.T) {
	e, _ := engine(t, testkit.Shop(t))
	tests := []struct {
		name, sent string
		kept       bool
	}{
		{"of a proxy", "abc-1.2_3", true},
		{"none", "", false},
		{"too long", strings.Repeat("a", 65), false},
		{"with a line of its own", "a\nlevel=ERROR", false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := ask(e, "GET", "/healthz", "", map[string]string{"X-Request-Id": tt.sent}).Header().Get("X-Request-Id")
			if (got == tt.sent) != tt.kept || got == "" {
				t.Errorf("sent %q, answered %q", tt.sent, got)
			}
		})
	}
}

func TestHealthAndReadiness(t *testing.T) {
	shop := testkit.Shop(t)
	e, log := engine(t, shop)
	if rec := ask(e, "GET", "/healthz", "", nil); rec.Code != 200 {
		t.Errorf("healthz %d", rec.Code)
	}
	for _, method := range []string{"GET", "HEAD"} {
		if rec := ask(e, method, "/readyz", "", nil); rec.Code != 200 {
			t.Errorf("%s readyz %d: %s", method, rec.Code, rec.Body)
		}
	}
	shop.Store = unready{shop.Store}
	if rec := ask(e, "GET", "/healthz", "", nil); rec.Code != 200 {
		t.Errorf("healthz without a database %d", rec.Code)
	}
	rec := ask(e, "GET", "/readyz", "", nil)
	if rec.Code != 503 || !strings.Contains(rec.Body.String(), "/problems/not-ready") || strings.Contains(rec.Body.String(), "secret") {
		t.Errorf("readyz without a database %d: %s", rec.Code, rec.Body)
	}
	if !strings.Contains(log.String(), "no such host secret") {
		t.Errorf("the log does not tell why: %s", log)
	}
}

type unready struct{ workshop.Store }

func (unready) Ready(context.Context) error { return errors.New("no such host secret") }

func TestBodyIsBounded(t *testing.T) {
	e, _ := engine(t, testkit.Shop(t))
	if rec := ask(e, "POST", "/body", strings.Repeat("x", 1<<20), nil); rec.Code != 200 {
		t.Errorf("1 MiB is answered %d", rec.Code)
	}
	if rec := ask(e, "POST", "/body", strings.Repeat("x", 1<<20+1), nil); rec.Code != 413 {
		t.Errorf("one byte more is answered %d", rec.Code)
	}
	for size, want := range map[int]int{2 << 20: 200, 2<<20 + 1: 413} {
		if rec := ask(e, "POST", "/upload", strings.Repeat("x", size), nil); rec.Code != want {
			t.Errorf("an upload of %d bytes is answered %d", size, rec.Code)
		}
	}
}

func TestMetrics(t *testing.T) {
	e, _ := engine(t, testkit.Shop(t))
	for range 3 {
		ask(e, "GET", "/fine/a", "", nil)
	}
	ask(e, "GET", "/nowhere/at/all", "", nil)
	ask(e, "BREW", "/fine/a", "", nil)
	rec := ask(e, "GET", "/metrics", "", nil)
	for _, want := range []string{
		`windingroom_http_requests_total{method="GET",route="/fine/:name",status="200"} 3`,
		`windingroom_http_requests_total{method="GET",route="none",status="404"} 1`,
		`windingroom_http_requests_total{method="other",route="none",status="405"} 1`,
		`windingroom_http_request_seconds_count{route="/fine/:name"} 3`,
		`windingroom_build_info{commit="abc",version="1.2"} 1`,
		"go_goroutines",
	} {
		if !strings.Contains(rec.Body.String(), want) {
			t.Errorf("lacks %s", want)
		}
	}
	if strings.Contains(rec.Body.String(), "nowhere/at") {
		t.Error("an address that was made up became a label")
	}
}
