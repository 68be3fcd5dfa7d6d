package intake

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"windingroom/internal/calendar"
)

// columnSet has one bit for each column of a spec.
type columnSet uint32

// row is one record with its fields in the order of the spec. Each reader below gives the value of a column, or its zero
// value after telling what is wrong with it; a column is told once.
type row struct {
	spec   spec
	report *report
	line   int
	fields []string
	faulty columnSet
}

// at is where a typed row came from, and whether something about it was already told.
type at struct {
	line int
	bad  bool
}

func (r *row) at() at { return at{r.line, r.faulty != 0} }

func (r *row) fail(column, format string, args ...any) {
	r.faulty |= 1 << r.spec.index(column)
	r.report.add(r.line, column, format, args...)
}

// sound says whether nothing is wrong with the columns so far.
func (r *row) sound(columns ...string) bool {
	for _, c := range columns {
		if r.faulty&(1<<r.spec.index(c)) != 0 {
			return false
		}
	}
	return true
}

// given gives the text of a column that may be empty; it is not there where it is faulty.
func (r *row) given(column string) (string, bool) {
	c := r.spec.index(column)
	return r.fields[c], r.faulty&(1<<c) == 0 && r.fields[c] != ""
}

// need gives the text of a column that must not be empty; the rest says what should be there.
func (r *row) need(column, what string, args ...any) (string, bool) {
	text, ok := r.given(column)
	if !ok && r.sound(column) {
		r.fail(column, "is needed: %s", fmt.Sprintf(what, args...))
	}
	return text, ok
}

const maxText = 1000

// text reads words that may be empty.
func (r *row) text(column string) string {
	text, ok := r.given(column)
	if !ok {
		return ""
	}
	if n := utf8.RuneCountInString(text); n > maxText {
		r.fail(column, "is %d characters long; at most %d", n, maxText)
		return ""
	}
	return strings.Clone(text)
}

// words reads words that must be there.
func (r *row) words(column, what string) string {
	if _, ok := r.need(column, "%s", what); !ok {
		return ""
	}
	return r.text(column)
}

// code reads a code that must be there.
func (r *row) code(column string) string {
	if _, ok := r.need(column, "a code such as W-12.5"); !ok {
		return ""
	}
	return r.codeGiven(column)
}

// codeGiven reads a code that may be empty.
func (r *row) codeGiven(column string) string {
	text, ok := r.given(column)
	if !ok {
		return ""
	}
	if wrong := badCode(text); wrong != "" {
		r.fail(column, "%s", wrong)
		return ""
	}
	return strings.Clone(text)
}

// yes reads yes or no.
func (r *row) yes(column string) bool {
	text, ok := r.need(column, "yes or no")
	if !ok {
		return false
	}
	switch strings.ToLower(text) {
	case "yes", "true", "1":
		return true
	case "no", "false", "0":
		return false
	}
	r.fail(column, "%q is neither yes nor no", excerpt(text))
	return false
}

// oneOf reads one of a few words, without case.
func (r *row) oneOf(column string, words ...string) string {
	what := strings.Join(words, ", ")
	text, ok := r.need(column, "one of %s", what)
	if !ok {
		return ""
	}
	for _, w := range words {
		if strings.EqualFold(text, w) {
			return w
		}
	}
	r.fail(column, "%q is not one of %s", excerpt(text), what)
	return ""
}

func (r *row) date(column string) calendar.Date {
	text, ok := r.need(column, "a date such as 2026-03-02")
	if !ok {
		return 0
	}
	d, err := calendar.ParseDate(excerpt(text))
	if err != nil {
		r.fail(column, "%v", err)
	}
	return d
}
