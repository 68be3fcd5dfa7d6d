package api_test

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"windingroom/internal/api"
	"windingroom/internal/testkit"
)

var parameter = regexp.MustCompile(`:(\w+)`)

func TestDescriptionIsCommitted(t *testing.T) {
	d := newDesk(t, testkit.Shop(t))
	rec := d.do(request{method: "GET", path: "/openapi.yaml"})
	testkit.Golden(t, "openapi.yaml", rec.Body.Bytes())
}

// TestEveryRouteIsDescribed compares the engine with its description, both ways.
func TestEveryRouteIsDescribed(t *testing.T) {
	d := newDesk(t, testkit.Shop(t))
	var document struct {
		OpenAPI string `json:"openapi"`
		Servers []struct {
			URL string `json:"url"`
		} `json:"servers"`
		Paths map[string]map[string]struct {
			OperationID string           `json:"operationId"`
			Summary     string           `json:"summary"`
			Security    []map[string]any `json:"security"`
		} `json:"paths"`
	}
	if err := json.Unmarshal(d.do(request{method: "GET", path: "/openapi.json"}).Body.Bytes(), &document); err != nil {
		t.Fatal(err)
	}
	if document.OpenAPI != "3.1.0" || len(document.Servers) != 1 || document.Servers[0].URL != api.Root {
		t.Errorf("described as %q at %v", document.OpenAPI, document.Servers)
	}
	served := map[string]bool{}
	for _, r := range d.engine.Routes() {
		path, ours := strings.CutPrefix(r.Path, api.Root)
		if !ours || strings.HasPrefix(path, "/openapi.") {
			continue
		}
		path = parameter.ReplaceAllString(path, "{$1}")
		method := strings.ToLower(r.Method)
		served[method+" "+path] = true
		op, ok := document.Paths[path][method]
		if !ok {
			t.Errorf("%s %s is not described", method, path)
			continue
		}
		if op.OperationID == "" || op.Summary == "" {
			t.Errorf("%s %s has no name or summary", method, path)
		}
		if open := path == "/estimate"; open == (len(op.Security) > 0) {
			t.Errorf("%s %s is described with security %v", method, path, op.Security)
		}
	}
	for path, methods := range document.Paths {
		for method := range methods {
			if !served[method+" "+path] {
				t.Errorf("%s %s is described but not served", method, path)
			}
		}
	}
}
