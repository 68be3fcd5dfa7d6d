package buying

import (
	"regexp"
	"strconv"

	"windingroom/internal/problem"
	"windingroom/internal/web/page"
)

// A form with rows names the field of a row NAME-ROW. Use cases name the same field list[N].name, counting only the rows that were
// filled in.

// at names a field of a row.
func at(name string, row int) string { return name + "-" + strconv.Itoa(row) }

// mostRows bounds the rows of a form.
const mostRows = 200

// rowsIn counts the rows that a form was sent with.
func rowsIn(f *page.Form, name string) (n int) {
	for n < mostRows {
		if _, ok := f.Values[at(name, n)]; !ok {
			break
		}
		n++
	}
	return n
}

var inList = regexp.MustCompile(`^\w+\[(\d+)\]\.(\w+)$`)

// inRows turns the fields that a use case names into those of the form; rows gives for each that was filled in where it stands.
func inRows(err error, rows []int) error {
	p := problem.From(err)
	if err == nil || len(p.Errors) == 0 {
		return err
	}
	for i, e := range p.Errors {
		m := inList.FindStringSubmatch(e.Location)
		if m == nil {
			continue
		}
		if n, bad := strconv.Atoi(m[1]); bad == nil && n < len(rows) {
			p.Errors[i].Location = at(m[2], rows[n])
		}
	}
	return problem.Invalid(p.Errors)
}

// orderCodes shows orders by their codes, each kept whole.
func orderCodes[C ~string](orders []C) []page.Cell {
	cells := make([]page.Cell, len(orders))
	for i, o := range orders {
		cells[i] = page.Code(string(o), "")
	}
	return cells
}
