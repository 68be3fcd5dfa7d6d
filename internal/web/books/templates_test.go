package books

import (
	"html/template"
	"testing"

	"windingroom/internal/web/page/pagetest"
)

func TestTemplatesFitTheirPages(t *testing.T) {
	for _, tt := range []struct {
		template *template.Template
		page     any
	}{{periodsTemplate, periodsPage{}}, {rollTemplate, rollPage{}}, {methodTemplate, methodPage{}}, {offTemplate, offPage{}}, {exportTemplate, exportPage{}}, {valueTemplate, valuePage{}}, {checksTemplate, checksPage{}}, {historyTemplate, historyPage{}},
		{explainTemplate, explainPage{}}, {methodsTemplate, methodsPage{}}, {invoicesTemplate, invoicesPage{}}} {
		pagetest.Fits(t, tt.template, tt.page)
	}
}
