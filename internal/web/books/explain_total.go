package books

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"windingroom/internal/costing"
	"windingroom/internal/problem"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// explainTotal shows the wires behind a total, the largest first.
func (p place) explainTotal(r *page.Request, m costing.Period, column, method string) (reply page.Reply, err error) {
	of, err := columnNamed(column, method)
	if err != nil {
		return page.Reply{}, err
	}
	err = p.shop.Books(r.Ctx(), m, m, func(b *workshop.Books) error {
		f := figuresOf(r, b).by(method)
		lines := slices.DeleteFunc(linesBy(b, method), func(l costing.RollLine) bool { return of(l) == costing.Quantity{} })
		slices.SortStableFunc(lines, func(x, y costing.RollLine) int { return cmp.Compare(of(y).Cost, of(x).Cost) })
		total := of(costing.Roll{Lines: lines}.Total())
		v := f.explaining(f.answer("All wires", column, total)+byPhrase(method), column)
		v.Acts = v.Acts[1:] // all wires are here
		v.Head.Note = page.Plural(len(lines), "wire makes", "wires make") + " it up. Each leads to its movements, and they to batch and person."
		v.Table = page.NewTable(r.Request.URL.Query(), f.wiresSpec(column, of), lines)
		v.Table.Foot = []page.Cell{page.Text("All wires"), page.Text(f.mass(total)), page.Text(f.money(total.Cost))}
		reply = page.Show(explainTemplate, v)
		return nil
	})
	return reply, err
}

// linesBy gives a line for each wire by a method: of one formula only its closing is known.
func linesBy(b *workshop.Books, method string) (lines []costing.RollLine) {
	switch method {
	case "":
		return slices.Clone(b.Roll.Lines)
	case inBooks:
		return slices.Clone(b.ByMethod.Lines)
	}
	for _, v := range b.Valuations {
		lines = append(lines, costing.RollLine{Wire: v.Wire, Closing: costing.Quantity{Mass: v.Mass, Cost: v.Value.Of(costing.Formula(method))}})
	}
	return lines
}

// columnNamed gives what is read of a line for a column by a method.
func columnNamed(column, method string) (func(costing.RollLine) costing.Quantity, error) {
	names, known := workshop.ExplainColumns, append(slices.Clone(quantities), lateCost)
	switch {
	case method == inBooks:
		names, known = workshop.ValueColumns, append(known, revalued)
	case method != "" && !slices.Contains(costing.Formulas(), costing.Formula(method)):
		return nil, problem.At("method", fmt.Errorf("%q is not one of books, specific, fifo, moving average", method))
	case method != "" && column != "closing":
		return nil, problem.At("column", errors.New("is closing: of one formula only the closing is added up"))
	}
	i := slices.IndexFunc(known, func(q quantity) bool { return q.key == column })
	if i < 0 {
		return nil, problem.At("column", fmt.Errorf("%q is not one of %s", column, strings.Join(names, ", ")))
	}
	return known[i].of, nil
}

// byPhrase says by which method a figure is, after it.
func byPhrase(method string) string {
	switch method {
	case "":
		return ""
	case inBooks:
		return ", each alloy by its method"
	}
	return ", " + phrase(costing.Formula(method))
}

func (f figures) wiresSpec(column string, of func(costing.RollLine) costing.Quantity) page.Spec[costing.RollLine] {
	return page.Spec[costing.RollLine]{ID: "wires", Caption: "Wires", Path: monthPath(f.month) + "/explain", Keep: []string{"column", "method"}, Size: 200,
		Empty: page.Empty{Title: "No wire", Text: "Nothing makes this number: it is zero."},
		Columns: []page.Column[costing.RollLine]{
			{Key: "code", Head: "Wire", Cell: func(l costing.RollLine) page.Cell { return page.Code(string(l.Wire), f.why(string(l.Wire), column)) },
				Compare: func(x, y costing.RollLine) int { return cmp.Compare(x.Wire, y.Wire) }},
			{Key: "mass", Head: f.massWord(), Number: true, Cell: func(l costing.RollLine) page.Cell { return page.Text(f.mass(of(l))) },
				Compare: func(x, y costing.RollLine) int { return cmp.Compare(of(x).Mass, of(y).Mass) }},
			{Key: "cost", Head: "Cost, " + string(f.currency), Number: true, Cell: func(l costing.RollLine) page.Cell { return page.Text(f.money(of(l).Cost)) },
				Compare: func(x, y costing.RollLine) int { return cmp.Compare(of(x).Cost, of(y).Cost) }},
		}}
}
