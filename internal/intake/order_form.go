package intake

import (
	"fmt"
	"strings"

	"windingroom/internal/order"
)

// OrderForm is one order as a person or program writes it: every field as text, judged by the rules of orders.csv.
type OrderForm struct {
	Order, OrderedOn, DueOn, Customer string
	Lines                             []OrderFormLine
}

// OrderFormLine names a standing set, or spells out the strings of a custom one.
type OrderFormLine struct {
	Line, Set, Quantity string
	Strings             []OrderFormString
}

// OrderFormString is one string position of a custom set.
type OrderFormString struct{ Position, Recipe, Scale, Pitch string }

// ReadOrder reads an order with the recipes and sets that are known. Its status is left empty. The problems name their field:
// lines[0].strings[1].scale_in.
func ReadOrder(form OrderForm, known Known) (order.Order, Problems) {
	known.Orders = nil
	r := newResolution(&Folder{}, known)
	rows := form.rows()
	t := &table{spec: specs[ordersFile], report: &report{}, width: len(specs[ordersFile].columns)}
	for c := range t.width {
		t.places = append(t.places, c)
	}
	own := form.twice()
	one := &row{spec: t.spec, report: t.report, fields: make([]string, t.width)}
	for i, f := range rows {
		t.line = i + 1
		t.load(one, f.fields)
		r.folder.takeOrder(one)
	}
	if len(form.Lines) == 0 {
		own = append(own, Problem{Column: "lines", Text: "is needed: one line or more"})
	}
	if len(own) == 0 {
		r.takeOrders()
	}
	problems := own
	told := map[string]bool{}
	for _, p := range t.report.with(r.reports[ordersFile]) {
		if p.Line < 1 || p.Line > len(rows) {
			continue
		}
		p.File, p.Column, p.Line = "", rows[p.Line-1].path(p.Column), 0
		p.Text, _, _ = strings.Cut(p.Text, ": it is neither in")
		if !told[p.Column] && !(len(form.Lines) == 0 && strings.HasPrefix(p.Column, "lines[")) {
			told[p.Column] = true
			problems = append(problems, p)
		}
	}
	if len(problems) > 0 || len(r.facts.Orders) != 1 {
		return order.Order{}, problems
	}
	o := r.facts.Orders[0]
	o.Status = ""
	return o, nil
}

// formRow is one row of orders.csv with where in the form it comes from.
type formRow struct {
	fields    []string
	line, str int // from 0; -1 for none
}

// rows spells the form out as rows of orders.csv.
func (f OrderForm) rows() []formRow {
	var rows []formRow
	for i, l := range f.Lines {
		strs := l.Strings
		if len(strs) == 0 {
			strs = []OrderFormString{{}}
		}
		for j, s := range strs {
			if len(l.Strings) == 0 {
				j = -1
			}
			rows = append(rows, formRow{line: i, str: j, fields: []string{
				f.Order, l.Line, f.OrderedOn, f.DueOn, f.Customer, l.Set, l.Quantity, s.Position, s.Recipe, s.Scale, s.Pitch,
			}})
		}
	}
	if len(rows) == 0 {
		rows = append(rows, formRow{line: -1, str: -1, fields: []string{f.Order, "1", f.OrderedOn, f.DueOn, f.Customer, "", "1", "1", "", "", ""}})
	}
	return rows
}

// path names a column of the row as a field of the form; a form without lines has only the order's own.
func (r formRow) path(column string) string {
	switch column {
	case "order", "ordered_on", "due_on", "customer":
		return column
	case "line", "set", "quantity":
		return fmt.Sprintf("lines[%d].%s", r.line, column)
	}
	if r.str < 0 {
		return fmt.Sprintf("lines[%d].strings", r.line)
	}
	return fmt.Sprintf("lines[%d].strings[%d].%s", r.line, r.str, column)
}

// twice tells lines and positions that are named twice; rows of a file would say it by their numbers.
func (f OrderForm) twice() (problems Problems) {
	lines := map[string]bool{}
	for i, l := range f.Lines {
		at := fmt.Sprintf("lines[%d]", i)
		if number := strings.TrimSpace(l.Line); number != "" && lines[number] {
			problems = append(problems, Problem{Column: at + ".line", Text: number + " is another line's number already"})
		} else {
			lines[number] = true
		}
		positions := map[string]bool{}
		for j, s := range l.Strings {
			if p := strings.TrimSpace(s.Position); p != "" && positions[p] {
				problems = append(problems, Problem{Column: fmt.Sprintf("%s.strings[%d].position", at, j), Text: p + " is another string's position already"})
			} else {
				positions[p] = true
			}
		}
	}
	return problems
}
