package intake

import (
	"fmt"
	"strings"
)

// readHeader finds the place of each column, or reports why it cannot.
func (t *table) readHeader() bool {
	record, more := t.next()
	switch {
	case !more && !t.unread:
		t.report.add(1, t.spec.columns[0], "the header line is missing; it should be %s", strings.Join(t.spec.needed(), ","))
		return false
	case !more, t.broken: // reported already
		return false
	}
	for _, name := range record {
		if wrong := badText(name); wrong != "" {
			t.report.add(t.line, t.spec.columns[0], "the header %s", wrong)
			return false
		}
	}
	if len(record) == 1 && strings.ContainsAny(record[0], ";\t") {
		t.report.add(t.line, t.spec.columns[0], "columns must be separated by commas, and numbers have a decimal point")
		return false
	}
	return t.place(record)
}

// place notes where each column stands and reports columns that are missing, unknown or there twice.
func (t *table) place(header []string) bool {
	t.width, t.places = len(header), make([]int, len(t.spec.columns))
	for c := range t.places {
		t.places[c] = -1
	}
	sound := true
	wrong := func(column, format string, args ...any) {
		sound = false
		t.report.add(t.line, column, format, args...)
	}
	for place, name := range header {
		name = strings.ToLower(strings.TrimSpace(name))
		switch c := t.spec.index(name); {
		case name == "":
			wrong(fmt.Sprintf("column %d", place+1), "has no name")
		case c < 0:
			wrong(excerpt(name), "is not a column of %s; known are %s", t.spec.name, strings.Join(t.spec.columns, ", "))
		case t.places[c] >= 0:
			wrong(name, "column appears twice")
		default:
			t.places[c] = place
		}
	}
	for c, name := range t.spec.needed() {
		if t.places[c] < 0 {
			wrong(name, "column is missing")
		}
	}
	return sound
}
