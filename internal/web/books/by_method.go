package books

import (
	"cmp"

	"windingroom/internal/costing"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// methodPage answers what a month came to in money by the books' methods, wire by wire.
type methodPage struct {
	monthPage
	Table page.Table
}

func (p place) byMethod(r *page.Request) (page.Reply, error) {
	return p.month(r, "/methods", func(m monthPage, b *workshop.Books) page.Reply {
		v, f := methodPage{monthPage: m}, figuresOf(r, b).by(inBooks)
		total := b.ByMethod.Total()
		for _, q := range []quantity{quantities[0], quantities[2], revalued, quantities[5]} {
			v.Stats = append(v.Stats, page.Stat{Label: q.head, Number: f.money(q.of(total).Cost), Note: string(f.currency), Href: f.why("", q.key)})
		}
		columns := methodColumns(b.ByMethod.Lines)
		v.Table = page.NewTable(r.Request.URL.Query(), f.methodSpec(b, columns), b.ByMethod.Lines)
		v.Table.Foot = []page.Cell{page.Text("All wires")}
		for _, q := range columns {
			v.Table.Foot = append(v.Table.Foot, f.amount(q, total, ""))
		}
		return page.Show(methodTemplate, v)
	})
}

// methodColumns are those of the roll-forward, with what was revalued before the closing.
func methodColumns(lines []costing.RollLine) []quantity {
	all := columnsOf(lines)
	last := len(all) - 1
	return append(all[:last:last], revalued, all[last])
}

// amount shows the money of a column and leads to what it is made of.
func (f figures) amount(q quantity, l costing.RollLine, wire string) page.Cell {
	cost := q.of(l).Cost
	if cost == 0 {
		return page.Text("–")
	}
	return page.Cell{Text: f.money(cost), Href: f.why(wire, q.key)}
}

func (f figures) methodSpec(b *workshop.Books, columns []quantity) page.Spec[costing.RollLine] {
	type row = costing.RollLine
	var ways []page.Option
	for _, one := range costing.Formulas() {
		ways = append(ways, page.Option{Value: string(one), Text: page.Sentence(phrase(one))})
	}
	s := page.Spec[row]{ID: "by-method", Caption: "By wire and method, in " + string(f.currency), Path: monthPath(b.From) + "/methods", Search: true, Sort: "wire", Size: 200,
		Empty: page.Empty{Title: "No wire was on hand and none moved", Text: "There is nothing to roll forward in this month."},
		Columns: []page.Column[row]{
			{Key: "wire", Head: "Wire", Cell: func(l row) page.Cell {
				return page.Cell{Text: string(l.Wire), Code: true, Note: phrase(l.Formula)}
			}, Compare: func(x, y row) int { return cmp.Compare(x.Wire, y.Wire) }}},
		Choices: []page.Choice[row]{{Key: "alloy", Label: "Alloy", Options: alloys(b), Keep: func(l row, v string) bool { return string(b.Wires[l.Wire].Alloy) == v }},
			{Key: "method", Label: "Method", Options: ways, Keep: func(l row, v string) bool { return string(l.Formula) == v }}}}
	for _, q := range columns {
		s.Columns = append(s.Columns, page.Column[row]{Key: q.key, Head: q.head, Number: true,
			Cell:    func(l row) page.Cell { return f.amount(q, l, string(l.Wire)) },
			Compare: func(x, y row) int { return cmp.Compare(q.of(x).Cost, q.of(y).Cost) }})
	}
	return s
}
