package people

import (
	"html/template"
	"testing"

	"windingroom/internal/web/page/pagetest"
)

func TestTemplatesFitTheirPages(t *testing.T) {
	for _, tt := range []struct {
		template *template.Template
		page     any
	}{{youTemplate, youPage{}}, {peopleTemplate, peoplePage{}}, {oneTemplate, onePage{}}, {tokensTemplate, tokensPage{}}, {madeTemplate, madePage{}}, {auditTemplate, auditPage{}}} {
		pagetest.Fits(t, tt.template, tt.page)
	}
}
