package books

import (
	"cmp"
	"fmt"
	"net/url"
	"slices"
	"strconv"

	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// explainPage answers where a number comes from.
type explainPage struct {
	page.Frame
	Head   page.Head
	Facts  []page.Fact
	Acts   []page.Action
	Layers []page.Table // behind a FIFO value
	Table  page.Table
}

// explainPath is the page of a figure; without a wire that of a total, without a method that of the ledger's own cost.
func explainPath(m costing.Period, wire, column, method string) string {
	q := url.Values{"column": {column}}
	for name, value := range map[string]string{"wire": wire, "method": method} {
		if value != "" {
			q.Set(name, value)
		}
	}
	return monthPath(m) + "/explain?" + q.Encode()
}

// words say what a column of the roll-forward is.
var words = map[string]string{"opening": "on hand when %s began", "received": "received in %s", "drawn": "drawn in %s", "scrap": "scrapped in %s", "difference": "differences of %s",
	"late": "late cost of used wire in %s", "revalued": "revalued in %s", "closing": "on hand when %s ended"}

// explain shows the movements behind a figure of a wire, or the wires behind a total.
func (p place) explain(r *page.Request) (page.Reply, error) {
	m, err := monthOf(r)
	if err != nil {
		return page.Reply{}, err
	}
	wire, column, method := material.WireCode(r.Query("wire")), r.Query("column"), r.Query("method")
	switch {
	case wire == "":
		return p.explainTotal(r, m, column, method)
	case method != "":
		return p.explainValue(r, m, wire, column, method)
	}
	e, err := p.shop.Explain(r.Ctx(), m, wire, column)
	if err != nil {
		return page.Reply{}, err
	}
	f := figures{r: r, month: m, currency: e.Currency}
	v := f.explaining(f.answer(string(e.Wire), e.Column, e.Total), e.Column)
	v.Head.Note = page.Plural(len(e.Lines), "movement makes", "movements make") + " it up, each with what it was for and who did it."
	if e.Column == "opening" {
		v.Facts = append(v.Facts, f.before(string(e.Wire)))
	}
	v.Table = page.NewTable(r.Request.URL.Query(), f.linesSpec(e), e.Lines)
	v.Table.Foot = []page.Cell{page.Text("All movements"), {}, {}, page.Text(f.mass(e.Total)), page.Text(f.money(e.Total.Cost)), {}, {}}
	if !f.prices() {
		v.Table.Foot = slices.Delete(v.Table.Foot, 4, 5)
	}
	return page.Show(explainTemplate, v), nil
}

// explaining begins the page of a figure.
func (f figures) explaining(answer, column string) explainPage {
	list := page.Link("Roll-forward", monthPath(f.month))
	switch f.method {
	case "":
	case inBooks:
		list = page.Link("By method", monthPath(f.month)+"/methods")
	default:
		list = page.Link("Value", monthPath(f.month)+"/value")
	}
	return explainPage{Frame: f.r.Frame("Where a number comes from"), Head: page.Head{Place: "Books: where a number comes from", Answer: answer},
		Acts: []page.Action{page.Link("All wires", f.why("", column)), list}}
}

// before leads from an opening to the closing that it is.
func (f figures) before(wire string) page.Fact {
	return page.Fact{Term: "The same as", Text: "closing of " + named(f.month-1), Href: explainPath(f.month-1, wire, "closing", f.method)}
}

// answer says a figure as a sentence.
func (f figures) answer(of, column string, q costing.Quantity) string {
	what := fmt.Sprintf(words[column], named(f.month))
	if q.Mass == 0 && q.Cost != 0 && f.prices() {
		return of + ": " + f.money(q.Cost) + "\u00a0" + string(f.currency) + " " + what
	}
	text := of + ": " + f.mass(q) + "\u00a0" + f.unit() + " " + what
	if f.prices() {
		text += ", at " + f.money(q.Cost) + "\u00a0" + string(f.currency)
	}
	return text
}

// prices says whether who looks is told what wire cost; a winder is not.
func (f figures) prices() bool { return f.r.May(workshop.Lead, workshop.Bookkeeper) }

func (f figures) linesSpec(e workshop.Explained) page.Spec[workshop.ExplainedLine] {
	type line = workshop.ExplainedLine
	sign := 1 // as in the roll-forward, what is used stands above zero
	if e.Column == "drawn" || e.Column == "scrap" {
		sign = -1
	}
	s := page.Spec[line]{ID: "lines", Caption: "Movements", Path: monthPath(f.month) + "/explain", Keep: []string{"wire", "column"}, Search: true,
		Empty: page.Empty{Title: "No movement", Text: "Nothing moved that would make this number: it is zero."},
		Columns: []page.Column[line]{
			{Key: "day", Head: "Day", Cell: func(l line) page.Cell {
				return page.Cell{Text: f.r.Units().Date(l.EffectiveOn), Note: "no. " + strconv.FormatInt(int64(l.ID), 10)}
			}, Compare: func(a, b line) int {
				return cmp.Or(cmp.Compare(a.EffectiveOn, b.EffectiveOn), a.EffectiveAt.Compare(b.EffectiveAt), cmp.Compare(a.ID, b.ID))
			}},
			{Key: "what", Head: "What", Cell: func(l line) page.Cell { return page.Cell{Text: string(l.Kind), Note: takesBack(l)} },
				Compare: func(a, b line) int { return cmp.Compare(a.Kind, b.Kind) }},
			{Key: "spool", Head: "Spool", Cell: func(l line) page.Cell {
				c := page.Code(string(l.Spool), f.spool(l.Spool))
				c.Note = "lot " + l.Lot
				return c
			}, Compare: func(a, b line) int { return cmp.Compare(a.Spool, b.Spool) }},
			{Key: "mass", Head: f.massWord(), Number: true, Cell: func(l line) page.Cell { return page.Text(f.mass(costing.Quantity{Mass: l.Mass * measure.Mass(sign)})) },
				Compare: func(a, b line) int { return cmp.Compare(a.Mass, b.Mass) }},
			{Key: "cost", Head: "Cost, " + string(f.currency), Number: true, Cell: func(l line) page.Cell { return page.Text(f.money(l.Cost * money.Minor(sign))) },
				Compare: func(a, b line) int { return cmp.Compare(a.Cost, b.Cost) }},
			{Key: "for", Head: "For", Cell: func(l line) page.Cell { return f.purpose(l) }},
			{Key: "who", Head: "Who", Cell: who, Compare: func(a, b line) int { return cmp.Compare(cmp.Or(a.WoundBy, a.Person), cmp.Or(b.WoundBy, b.Person)) }},
		}}
	if !f.prices() {
		s.Columns = slices.DeleteFunc(s.Columns, func(c page.Column[line]) bool { return c.Key == "cost" })
	}
	return s
}

// takesBack names the movement that a line takes back.
func takesBack(l workshop.ExplainedLine) string {
	if l.Reverses == 0 {
		return ""
	}
	return "takes back no. " + strconv.FormatInt(int64(l.Reverses), 10)
}

// spool is the page of a spool, where there are such pages.
func (f figures) spool(code stock.SpoolCode) string {
	if !f.r.Offers(page.Wire) {
		return ""
	}
	return "/wire/spools/" + url.PathEscape(string(code))
}

// purpose is the batch and its result, or else the document that a movement came from, with the reason.
func (f figures) purpose(l workshop.ExplainedLine) page.Cell {
	if l.Batch == "" {
		return page.Cell{Text: l.Source, Note: l.Reason}
	}
	c := page.Cell{Text: "batch " + string(l.Batch), Href: "/batches/" + url.PathEscape(string(l.Batch)), Note: l.Reason}
	if l.Result > 0 {
		c.Note = "result " + strconv.Itoa(l.Result)
	}
	return c
}

func who(l workshop.ExplainedLine) page.Cell {
	if l.WoundBy == "" || l.WoundBy == l.Person {
		return page.Text(l.Person)
	}
	return page.Cell{Text: "wound by " + l.WoundBy, Note: "posted by " + l.Person}
}
