// Package pagetest checks templates against the pages that they show. Only tests import it.
package pagetest

import (
	"html/template"
	"testing"

	"github.com/jba/templatecheck"
)

// Fits finds a field that a template names and its page does not have.
func Fits(t testing.TB, tmpl *template.Template, page any) {
	t.Helper()
	if err := templatecheck.CheckHTMLStrict(tmpl, page); err != nil {
		t.Errorf("%T: %v", page, err)
	}
}
