package buying

import (
	"html/template"
	"testing"

	"windingroom/internal/web/page/pagetest"
)

func TestTemplatesFitTheirPages(t *testing.T) {
	for _, tt := range []struct {
		template *template.Template
		page     any
	}{{morningTemplate, morningPage{}}, {listTemplate, listPage{}}, {wireTemplate, wirePage{}}, {purchaseTemplate, purchasePage{}}, {writeTemplate, writePage{}},
		{receiveTemplate, receivePage{}}, {suppliersTemplate, suppliersPage{}}} {
		pagetest.Fits(t, tt.template, tt.page)
	}
}
