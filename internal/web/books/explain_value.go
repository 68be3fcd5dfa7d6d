package books

import (
	"cmp"
	"strconv"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// explainValue shows what a figure of a wire by a cost formula is made of: the layers behind a FIFO value, the running average with the
// receipts and draws that made it.
func (p place) explainValue(r *page.Request, m costing.Period, wire material.WireCode, column, method string) (page.Reply, error) {
	formula := costing.Formula(method)
	if method == inBooks {
		formula = ""
	}
	e, err := p.shop.ExplainValue(r.Ctx(), m, wire, column, formula)
	if err != nil {
		return page.Reply{}, err
	}
	f := figures{r: r, month: m, currency: e.Currency}.by(method)
	v := f.explaining(f.answer(string(e.Wire), e.Column, e.Total)+", "+phrase(e.Formula), e.Column)
	v.Head.Note = valueNote(e)
	if e.Column == "opening" && method == inBooks {
		v.Facts = append(v.Facts, f.before(string(e.Wire)))
	}
	if e.Changed != 0 {
		v.Facts = append(v.Facts, page.Fact{Term: "Change of method", Text: f.money(e.Changed) + "\u00a0" + string(e.Currency) + ": " + phrase(e.Before) + " before", Href: "/books/methods"})
	}
	if len(e.Layers) > 0 {
		v.Layers = []page.Table{f.layers(e)}
	}
	v.Table = page.NewTable(r.Request.URL.Query(), f.stepsSpec(e), e.Lines)
	v.Table.Foot = f.stepsFoot(e)
	return page.Show(explainTemplate, v), nil
}

// valueNote says how a formula comes to the figure.
func valueNote(e workshop.ExplainedValue) string {
	made := page.Plural(len(e.Lines), "movement", "movements") + " made it."
	if e.Column != "opening" && e.Column != "closing" {
		return page.Plural(len(e.Lines), "movement makes", "movements make") + " it up, each at what the formula makes of it."
	}
	switch e.Formula {
	case costing.FIFO:
		return "What came first leaves first, so what is left is of the last receipts: " + page.Plural(len(e.Layers), "layer", "layers") + ", each worth its share of what it cost. " + made
	case costing.MovingAverage:
		return "Each receipt makes a new average of what is there; wire leaves at the average as it is. The last line is the figure. " + made
	}
	return "Each spool leaves at the cost of its own lot. " + made
}

// layers shows what is left of each receipt.
func (f figures) layers(e workshop.ExplainedValue) page.Table {
	came := map[stock.SpoolCode]workshop.ValuedLine{}
	for _, l := range e.Lines {
		if l.Kind == stock.Receipt {
			came[l.Spool] = l
		}
	}
	t := page.Plain("layers", "Layers, the oldest first", []page.Column[costing.Layer]{
		{Head: "Spool", Cell: func(l costing.Layer) page.Cell {
			c := page.Code(string(l.Spool), f.spool(l.Spool))
			c.Note = "lot " + came[l.Spool].Lot
			return c
		}},
		{Head: "Received", Cell: func(l costing.Layer) page.Cell { return page.Text(f.day(came[l.Spool].EffectiveOn)) }},
		{Head: "Came, " + f.unit(), Number: true, Cell: func(l costing.Layer) page.Cell { return page.Text(f.mass(costing.Quantity{Mass: l.Size})) }},
		{Head: "Cost, " + string(f.currency), Number: true, Cell: func(l costing.Layer) page.Cell { return page.Text(f.money(l.Cost)) }},
		{Head: "Left, " + f.unit(), Number: true, Cell: func(l costing.Layer) page.Cell { return page.Text(f.mass(costing.Quantity{Mass: l.Left})) }},
		{Head: "Worth, " + string(f.currency), Number: true, Cell: func(l costing.Layer) page.Cell { return page.Text(f.money(l.Value)) }},
	}, e.Layers)
	t.Foot = []page.Cell{page.Text("All layers"), {}, {}, {}, page.Text(f.mass(e.Total)), page.Text(f.money(e.Total.Cost))}
	return t
}

func (f figures) day(d calendar.Date) string {
	if d.IsZero() {
		return ""
	}
	return f.r.Units().Date(d)
}

func (f figures) stepsSpec(e workshop.ExplainedValue) page.Spec[workshop.ValuedLine] {
	type line = workshop.ValuedLine
	return page.Spec[line]{ID: "steps", Caption: "Movements, as they took effect", Path: monthPath(f.month) + "/explain", Keep: []string{"wire", "column", "method"}, Search: true,
		Empty: page.Empty{Title: "No movement", Text: "Nothing moved that would make this number."},
		Columns: []page.Column[line]{
			{Key: "day", Head: "Day", Cell: func(l line) page.Cell {
				return page.Cell{Text: f.day(l.EffectiveOn), Note: "no. " + strconv.FormatInt(int64(l.ID), 10)}
			}, Compare: func(a, b line) int {
				return cmp.Or(cmp.Compare(a.EffectiveOn, b.EffectiveOn), a.EffectiveAt.Compare(b.EffectiveAt), cmp.Compare(a.ID, b.ID))
			}},
			{Key: "what", Head: "What", Cell: func(l line) page.Cell {
				c := page.Code(string(l.Spool), f.spool(l.Spool))
				c.Note = strings.Join(nonEmpty(string(l.Kind), takesBack(l.ExplainedLine), f.parts(l)), ", ")
				return c
			}, Compare: func(a, b line) int { return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Spool, b.Spool)) }},
			{Key: "mass", Head: f.massWord(), Number: true, Cell: func(l line) page.Cell { return page.Text(f.mass(costing.Quantity{Mass: l.Mass})) },
				Compare: func(a, b line) int { return cmp.Compare(a.Mass, b.Mass) }},
			{Key: "cost", Head: "Cost, " + string(f.currency), Number: true, Cell: func(l line) page.Cell {
				c := page.Text(f.money(l.Cost))
				if l.Revalued != 0 {
					c.Note = "revalued " + f.money(l.Revalued)
				}
				return c
			}, Compare: func(a, b line) int { return cmp.Compare(a.Cost, b.Cost) }},
			{Key: "after", Head: "Then there, " + f.unit(), Number: true, Cell: func(l line) page.Cell { return page.Text(f.mass(l.After)) }},
			{Key: "worth", Head: "Worth, " + string(f.currency), Number: true, Cell: func(l line) page.Cell {
				return page.Cell{Text: f.money(l.After.Cost), Note: f.perBulk(l.After)}
			}},
			{Key: "for", Head: "For", Cell: func(l line) page.Cell {
				c := f.purpose(l.ExplainedLine)
				c.Note = strings.Join(nonEmpty(c.Note, who(l.ExplainedLine).Text), ", ")
				return c
			}},
		}}
}

// stepsFoot sums the movements; an opening or a closing is where they lead to.
func (f figures) stepsFoot(e workshop.ExplainedValue) []page.Cell {
	sum := e.Total
	sum.Cost -= e.Changed
	foot := []page.Cell{page.Text("All movements"), {}, page.Text(f.mass(sum)), page.Text(f.money(sum.Cost)), {}, {}, {}}
	if e.Column == "opening" || e.Column == "closing" {
		foot[4], foot[5] = page.Text(f.mass(sum)), page.Text(f.money(sum.Cost))
	}
	return foot
}

// parts names the layers that a movement took from under FIFO, unless they are its own spool's.
func (f figures) parts(l workshop.ValuedLine) string {
	var names []string
	for _, p := range l.Parts {
		names = append(names, string(p.Spool))
	}
	switch {
	case len(names) == 0, len(names) == 1 && names[0] == string(l.Spool):
		return ""
	case l.LedgerLine.Mass > 0:
		return "back on the layer of " + strings.Join(names, ", ")
	}
	return "of the layer of " + strings.Join(names, ", ")
}

// perBulk gives what wire is worth by the shop's large unit of mass.
func (f figures) perBulk(q costing.Quantity) string {
	if q.Mass <= 0 {
		return ""
	}
	bulk, u := 100*int64(measure.Kilogram), f.r.Units()
	if u.BulkUnit() == "lb" {
		bulk = 45_359_237 // hundredths of a milligram in a pound, exactly
	}
	return "at " + f.money(money.Share(q.Cost, bulk, 100*int64(q.Mass))) + " a\u00a0" + u.BulkUnit()
}

func nonEmpty(texts ...string) (kept []string) {
	for _, t := range texts {
		if t != "" {
			kept = append(kept, t)
		}
	}
	return kept
}
