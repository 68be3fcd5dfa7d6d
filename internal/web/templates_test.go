package web

import (
	"html/template"
	"testing"

	"github.com/jba/templatecheck"
)

// TestTemplatesFitTheirPages finds a field that a template names and its page does not have.
func TestTemplatesFitTheirPages(t *testing.T) {
	tests := []struct {
		name     string
		template *template.Template
		page     any
	}{
		{"sign in", signInTemplate, signInPage{}},
		{"explain", explainTemplate, explainPage{}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if err := templatecheck.CheckHTMLStrict(tt.template, tt.page); err != nil {
				t.Error(err)
			}
		})
	}
}
