package orders

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"

	"windingroom/internal/intake"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/problem"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
)

// A form of an order has the fields of its head, and for line I and row J of it lI-line, lI-set, lI-quantity, lI-sJ-position, lI-sJ-recipe,
// lI-sJ-scale and lI-sJ-pitch, from 0 on and without gaps.

// Bounds of a form, far above what anybody types.
const (
	mostLines = 50
	mostRows  = 40
	freshRows = 6 // rows of a new line
)

// written is an order as it is typed.
type written struct {
	order, ordered, due, customer string
	lines                         []writtenLine
}

type writtenLine struct {
	number, set, quantity string
	rows                  []row
}

type row struct{ position, recipe, scale, pitch string }

// blank says whether nothing was typed into a row; its position stands there by itself.
func (w row) blank() bool { return w.recipe == "" && w.scale == "" && w.pitch == "" }

func freshLine(number int) writtenLine {
	l := writtenLine{number: fmt.Sprint(number), quantity: "1"}
	for i := range freshRows {
		l.rows = append(l.rows, row{position: fmt.Sprint(i + 1)})
	}
	return l
}

// readWritten takes a form apart.
func readWritten(f *page.Form) written {
	w := written{f.Get("order"), f.Get("ordered_on"), f.Get("due_on"), f.Get("customer"), nil}
	for i := 0; i < mostLines && f.Values.Has(lineField(i, "line")); i++ {
		l := writtenLine{number: f.Get(lineField(i, "line")), set: f.Get(lineField(i, "set")), quantity: f.Get(lineField(i, "quantity"))}
		for j := 0; j < mostRows && f.Values.Has(rowField(i, j, "position")); j++ {
			l.rows = append(l.rows, row{f.Get(rowField(i, j, "position")), f.Get(rowField(i, j, "recipe")), f.Get(rowField(i, j, "scale")), f.Get(rowField(i, j, "pitch"))})
		}
		w.lines = append(w.lines, l)
	}
	return w
}

// values puts it back into a form.
func (w written) values() url.Values {
	v := url.Values{"order": {w.order}, "ordered_on": {w.ordered}, "due_on": {w.due}, "customer": {w.customer}}
	for i, l := range w.lines {
		v.Set(lineField(i, "line"), l.number)
		v.Set(lineField(i, "set"), l.set)
		v.Set(lineField(i, "quantity"), l.quantity)
		for j, s := range l.rows {
			v.Set(rowField(i, j, "position"), s.position)
			v.Set(rowField(i, j, "recipe"), s.recipe)
			v.Set(rowField(i, j, "scale"), s.scale)
			v.Set(rowField(i, j, "pitch"), s.pitch)
		}
	}
	return v
}

func lineField(line int, name string) string     { return fmt.Sprintf("l%d-%s", line, name) }
func rowField(line, row int, name string) string { return fmt.Sprintf("l%d-s%d-%s", line, row, name) }

// writtenOf writes an order as the shop has it, sizes to their last digit.
func writtenOf(o order.Order, u units.Units) written {
	w := written{string(o.Code), o.OrderedOn.String(), o.DueOn.String(), o.Customer, nil}
	for _, l := range o.Lines {
		line := writtenLine{number: fmt.Sprint(l.Number), set: string(l.Set), quantity: fmt.Sprint(l.Quantity)}
		if l.Set == "" {
			line.rows = rowsOf(l.Strings, u)
		}
		w.lines = append(w.lines, line)
	}
	return w
}

func rowsOf(list []order.String, u units.Units) (rows []row) {
	for _, s := range list {
		rows = append(rows, row{fmt.Sprint(s.Position), string(s.Recipe), scaleText(s.Scale, u), s.Pitch})
	}
	return rows
}

func scaleText(s measure.Size, u units.Units) string {
	if u.Metric {
		return s.MillimetreText()
	}
	return s.InchText()
}

// ask makes the form of the use case, in inches. Rows left blank are none, a scale left out is that of the row above. rows gives the row that
// each string comes from, by line.
func (w written) ask(f *page.Form, u units.Units) (form intake.OrderForm, rows [][]int) {
	form = intake.OrderForm{Order: w.order, OrderedOn: w.ordered, DueOn: w.due, Customer: w.customer}
	for i, l := range w.lines {
		line, from, above := intake.OrderFormLine{Line: l.number, Set: l.set, Quantity: l.quantity}, []int(nil), ""
		for j, s := range l.rows {
			if l.set != "" || s.blank() {
				continue
			}
			scale := above
			if s.scale != "" {
				size, err := u.ParseScale(s.scale)
				f.Mark(rowField(i, j, "scale"), err)
				if scale = s.scale; err == nil {
					scale = size.InchText()
				}
			}
			above = scale
			line.Strings = append(line.Strings, intake.OrderFormString{Position: s.position, Recipe: s.recipe, Scale: scale, Pitch: s.pitch})
			from = append(from, j)
		}
		form.Lines, rows = append(form.Lines, line), append(rows, from)
	}
	return form, rows
}

// place of a fault in a form: lines[0].strings[1].scale_in.
var fault = regexp.MustCompile(`^lines\[(\d+)\](?:\.strings\[(\d+)\])?(?:\.(\w+))?$`)

// mark puts what is wrong beside the fields; typed leaves those aside into which nobody has typed yet.
func mark(f *page.Form, rows [][]int, problems intake.Problems, typed bool) {
	for _, p := range problems {
		name := fieldOf(rows, p.Column)
		switch {
		case typed && f.Get(name) == "":
		case f.Values.Has(name):
			f.Mark(name, errors.New(p.Text))
		default:
			f.Other = append(f.Other, p.String())
		}
	}
}

// fieldOf names the field of a fault.
func fieldOf(rows [][]int, column string) string {
	m := fault.FindStringSubmatch(column)
	if m == nil {
		return column
	}
	var line, str int
	_, _ = fmt.Sscan(m[1], &line) // the pattern lets digits through alone
	if m[2] == "" {
		if m[3] == "quantity" {
			return lineField(line, "quantity")
		}
		return lineField(line, "set")
	}
	_, _ = fmt.Sscan(m[2], &str)
	name := strings.TrimSuffix(m[3], "_in")
	if line >= len(rows) || str >= len(rows[line]) {
		return column
	}
	return rowField(line, rows[line][str], name)
}

// known says whether an error is a refusal that the page itself shows, other than that the order is not there or nobody is signed in.
func known(err error) bool {
	status := problem.From(err).Status
	return status < http.StatusInternalServerError && status != http.StatusNotFound && status != http.StatusUnauthorized
}
