package orders

import (
	"html/template"
	"testing"

	"windingroom/internal/web/page/pagetest"
)

func TestTemplatesFitTheirPages(t *testing.T) {
	for _, tt := range []struct {
		template *template.Template
		page     any
	}{{listTemplate, listPage{}}, {storyTemplate, storyPage{}}, {entryTemplate, entryPage{}}, {dayTemplate, dayPage{}}, {importTemplate, importPage{}}} {
		pagetest.Fits(t, tt.template, tt.page)
	}
}
