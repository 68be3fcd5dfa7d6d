package wire

import (
	"html/template"
	"testing"

	"windingroom/internal/web/page/pagetest"
)

func TestTemplatesFitTheirPages(t *testing.T) {
	for _, tt := range []struct {
		template *template.Template
		page     any
	}{{spoolsTemplate, spoolsPage{}}, {wiresTemplate, wiresPage{}}, {wireTemplate, wirePage{}}, {spoolTemplate, spoolPage{}}, {weighTemplate, weighPage{}}, {countTemplate, countPage{}},
		{accuracyTemplate, accuracyPage{}}, {receiveTemplate, receivePage{}}, {taresTemplate, taresPage{}}, {labelsTemplate, labelsPage{}}, {traceTemplate, tracePage{}}} {
		pagetest.Fits(t, tt.template, tt.page)
	}
}
