package books

import (
	"cmp"

	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// valuePage answers what the wire on hand is worth when a month ends, by each formula.
type valuePage struct {
	monthPage
	Table page.Table
}

// formulas are the columns of the valuation.
var formulas = []struct {
	key, head string
	formula   costing.Formula
}{{"specific", "Lot by lot", costing.Specific}, {"fifo", "First in, first out", costing.FIFO}, {"average", "Moving average", costing.MovingAverage}}

func (p place) value(r *page.Request) (page.Reply, error) {
	return p.month(r, "/value", func(m monthPage, b *workshop.Books) page.Reply {
		v, f := valuePage{monthPage: m}, figuresOf(r, b)
		total := valued(b)
		v.Stats = []page.Stat{{Label: "In the books", Number: f.money(b.ByMethod.Total().Closing.Cost), Note: string(f.currency) + ", each alloy by its method", Href: f.by(inBooks).why("", "closing")}}
		for _, c := range formulas {
			v.Stats = append(v.Stats, page.Stat{Label: c.head, Number: f.money(total.Value.Of(c.formula)), Note: string(f.currency), Href: f.by(string(c.formula)).why("", "closing")})
		}
		v.Table = page.NewTable(r.Request.URL.Query(), f.valueSpec(b), b.Valuations)
		v.Table.Foot = []page.Cell{page.Text("All wires"), {Text: f.mass(costing.Quantity{Mass: total.Mass}), Href: f.why("", "closing")}}
		for _, c := range formulas {
			v.Table.Foot = append(v.Table.Foot, page.Cell{Text: f.money(total.Value.Of(c.formula)), Href: f.by(string(c.formula)).why("", "closing")})
		}
		return page.Show(valueTemplate, v)
	})
}

// valued sums the valuation.
func valued(b *workshop.Books) (total costing.Valuation) {
	for _, v := range b.Valuations {
		total.Mass, total.Value = total.Mass+v.Mass, total.Value.Plus(v.Value)
	}
	return total
}

func (f figures) valueSpec(b *workshop.Books) page.Spec[costing.Valuation] {
	chosen := map[material.WireCode]costing.Formula{}
	for _, l := range b.ByMethod.Lines {
		chosen[l.Wire] = l.Formula
	}
	s := page.Spec[costing.Valuation]{ID: "value", Caption: "On hand on " + f.r.Units().Date(b.To.Last()) + ", in " + string(f.currency), Path: monthPath(b.From) + "/value", Search: true, Sort: "wire", Size: 200,
		Empty: page.Empty{Title: "No wire was on hand", Text: "There is nothing to value at the end of this month."},
		Columns: []page.Column[costing.Valuation]{
			{Key: "wire", Head: "Wire", Cell: func(v costing.Valuation) page.Cell {
				return page.Cell{Text: string(v.Wire), Code: true, Note: string(b.Wires[v.Wire].Alloy)}
			}, Compare: func(x, y costing.Valuation) int { return cmp.Compare(x.Wire, y.Wire) }},
			{Key: "mass", Head: "On hand, " + f.unit(), Number: true, Cell: func(v costing.Valuation) page.Cell {
				return page.Cell{Text: f.mass(costing.Quantity{Mass: v.Mass}), Href: f.why(string(v.Wire), "closing")}
			}, Compare: func(x, y costing.Valuation) int { return cmp.Compare(x.Mass, y.Mass) }}}}
	for _, c := range formulas {
		s.Columns = append(s.Columns, page.Column[costing.Valuation]{Key: c.key, Head: c.head, Number: true,
			Cell: func(v costing.Valuation) page.Cell {
				return f.worth(v, c.formula, chosen[v.Wire])
			},
			Compare: func(x, y costing.Valuation) int {
				return cmp.Compare(x.Value.Of(c.formula), y.Value.Of(c.formula))
			}})
	}
	return s
}

// worth shows a value and leads to what makes it; the one that the books take is marked.
func (f figures) worth(v costing.Valuation, formula, chosen costing.Formula) page.Cell {
	c := page.Cell{Text: f.money(v.Value.Of(formula)), Href: f.by(string(formula)).why(string(v.Wire), "closing")}
	if formula == chosen {
		c.Tags = []page.Tag{{Text: "books", Tone: page.Good}}
	}
	return c
}
