package page_test

import (
	"bytes"
	"html/template"
	"net/http"
	"net/http/httptest"
	"net/url"
	"testing"
	"time"

	"windingroom/internal/web/page"
)

// listPage is a list of a hundred rows and nothing else.
type listPage struct {
	page.Frame
	Table page.Table
}

var list = template.Must(template.Must(gallery.Clone()).Parse(`{{define "main"}}{{template "table" .Table}}{{end}}`))

func newList(f page.Frame, query url.Values) listPage {
	spec := spec
	spec.Size = 100
	return listPage{f, page.NewTable(query, spec, spools(100))}
}

// BenchmarkHundredRows asks the engine for a list of 100 rows, found and sorted by its address, and tells how long that takes as a
// ratio to html/template alone writing the same page from the same values, in the same run.
func BenchmarkHundredRows(b *testing.B) {
	e := engine()
	query := "sort=mass&dir=desc&q=s-"
	values, err := url.ParseQuery(query)
	if err != nil {
		b.Fatal(err)
	}
	ready := newList(page.Frame{Title: "Spools", Shop: "Thornmere String Works"}, values)
	var whole, alone time.Duration
	for b.Loop() {
		began := time.Now()
		w := httptest.NewRecorder()
		e.ServeHTTP(w, httptest.NewRequest("GET", "/list?"+query, nil))
		whole += time.Since(began)
		if w.Code != http.StatusOK {
			b.Fatal(w.Code)
		}
		began = time.Now()
		var out bytes.Buffer
		if err := list.Execute(&out, ready); err != nil {
			b.Fatal(err)
		}
		alone += time.Since(began)
	}
	b.ReportMetric(float64(whole)/float64(alone), "request/template")
}
