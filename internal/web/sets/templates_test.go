package sets

import (
	"html/template"
	"testing"

	"windingroom/internal/web/page/pagetest"
)

func TestTemplatesFitTheirPages(t *testing.T) {
	for _, tt := range []struct {
		template *template.Template
		page     any
	}{{standingTemplate, standingPage{}}, {benchTemplate, benchPage{}}, {matchTemplate, matchPage{}}, {balanceTemplate, balancePage{}}, {findTemplate, findPage{}}, {calibrateTemplate, calibratePage{}}} {
		pagetest.Fits(t, tt.template, tt.page)
	}
}
