package books

import (
	"cmp"
	"maps"
	"net/url"
	"slices"
	"strings"

	"windingroom/internal/costing"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// rollPage answers what a month came to, wire by wire: each number leads to what it is made of.
type rollPage struct {
	monthPage
	Table page.Table
	Other page.Action // shows the other quantity first
	Files fileLinks

	Waiting []page.Action
}

// quantity is a column of the roll-forward.
type quantity struct {
	key, head string
	of        func(costing.RollLine) costing.Quantity
}

// quantities are the columns of the roll-forward.
var quantities = []quantity{
	{"opening", "Opening", func(l costing.RollLine) costing.Quantity { return l.Opening }},
	{"received", "Received", func(l costing.RollLine) costing.Quantity { return l.Received }},
	{"drawn", "Drawn", func(l costing.RollLine) costing.Quantity { return l.Drawn }},
	{"scrap", "Scrap", func(l costing.RollLine) costing.Quantity { return l.Scrap }},
	{"difference", "Difference", func(l costing.RollLine) costing.Quantity { return l.Difference }},
	{"closing", "Closing", func(l costing.RollLine) costing.Quantity { return l.Closing }},
}

var (
	// lateCost is the part of the difference that no weighing or count found.
	lateCost = quantity{"late", "Of it late cost", func(l costing.RollLine) costing.Quantity { return costing.Quantity{Cost: -l.Used} }}
	revalued = quantity{"revalued", "Revalued", func(l costing.RollLine) costing.Quantity { return l.Revalued }}
)

// columnsOf gives the columns of a roll-forward: late cost has one in months that have it.
func columnsOf(lines []costing.RollLine) []quantity {
	last := len(quantities) - 1
	columns := slices.Clone(quantities[:last])
	if slices.ContainsFunc(lines, func(l costing.RollLine) bool { return l.Used != 0 }) {
		columns = append(columns, lateCost)
	}
	return append(columns, quantities[last])
}

func (p place) rollForward(r *page.Request) (page.Reply, error) {
	return p.month(r, "", func(m monthPage, b *workshop.Books) page.Reply {
		v := rollPage{monthPage: m}
		f := figuresOf(r, b)
		total := b.Roll.Total()
		v.Stats = f.stats(total)
		v.Files, v.Waiting = filesOf(b), p.waiting(r)
		byMoney := r.Query("by") == "money"
		query := r.Request.URL.Query()
		v.Table = page.NewTable(query, f.rollSpec(b, byMoney), b.Roll.Lines)
		v.Table.Foot = []page.Cell{page.Text("All wires")}
		for _, q := range columnsOf(b.Roll.Lines) {
			v.Table.Foot = append(v.Table.Foot, f.cell(q, total, "", byMoney))
		}
		v.Other = page.Link("Money first", monthPath(b.From)+"?"+with(query, "money")).As("quiet")
		if byMoney {
			v.Other = page.Link(f.massWord()+" first", monthPath(b.From)+"?"+with(query, "")).As("quiet")
		}
		return page.Show(rollTemplate, v)
	})
}

// massWord is what quantities are called in the shop's unit.
func (f figures) massWord() string {
	if f.unit() == "lb" {
		return "Pounds"
	}
	return "Grams"
}

// stats are the totals that a bookkeeper copies.
func (f figures) stats(total costing.RollLine) (all []page.Stat) {
	for _, q := range quantities {
		if q.key == "scrap" || q.key == "difference" {
			continue
		}
		all = append(all, page.Stat{Label: q.head, Number: f.money(q.of(total).Cost), Note: string(f.currency) + ", " + f.mass(q.of(total)) + "\u00a0" + f.unit(), Href: f.why("", q.key)})
	}
	return all
}

func (f figures) rollSpec(b *workshop.Books, byMoney bool) page.Spec[costing.RollLine] {
	first, second := f.unit(), string(f.currency)
	if byMoney {
		first, second = second, first
	}
	s := page.Spec[costing.RollLine]{ID: "roll", Caption: "In " + first + ", below it " + second, Path: monthPath(b.From), Keep: []string{"by"}, Search: true, Sort: "wire", Size: 200,
		Empty: page.Empty{Title: "No wire was on hand and none moved", Text: "There is nothing to roll forward in this month."},
		Columns: []page.Column[costing.RollLine]{{Key: "wire", Head: "Wire", Cell: func(l costing.RollLine) page.Cell {
			return page.Cell{Text: string(l.Wire), Code: true, Note: string(b.Wires[l.Wire].Alloy)}
		}, Compare: func(x, y costing.RollLine) int { return cmp.Compare(x.Wire, y.Wire) }}},
		Choices: []page.Choice[costing.RollLine]{{Key: "alloy", Label: "Alloy", Options: alloys(b), Keep: func(l costing.RollLine, v string) bool { return string(b.Wires[l.Wire].Alloy) == v }},
			{Key: "moved", Label: "Moved", Options: []page.Option{{Value: "yes", Text: "In this month"}}, Keep: func(l costing.RollLine, _ string) bool { return moved(l) }}}}
	for _, q := range columnsOf(b.Roll.Lines) {
		s.Columns = append(s.Columns, page.Column[costing.RollLine]{Key: q.key, Head: q.head, Number: true,
			Cell: func(l costing.RollLine) page.Cell { return f.cell(q, l, string(l.Wire), byMoney) },
			Compare: func(x, y costing.RollLine) int {
				if byMoney {
					return cmp.Compare(q.of(x).Cost, q.of(y).Cost)
				}
				return cmp.Compare(q.of(x).Mass, q.of(y).Mass)
			}})
	}
	return s
}

// moved says whether anything of a wire moved in the month.
func moved(l costing.RollLine) bool {
	return slices.ContainsFunc(quantities[1:len(quantities)-1], func(q quantity) bool { return q.of(l) != costing.Quantity{} })
}

// cell shows a quantity and its cost, and leads to what it is made of; nothing is a dash that leads nowhere.
func (f figures) cell(of quantity, l costing.RollLine, wire string, byMoney bool) page.Cell {
	q := of.of(l)
	if q == (costing.Quantity{}) {
		return page.Text("–")
	}
	c := page.Cell{Text: f.mass(q), Note: f.money(q.Cost), Href: f.why(wire, of.key)}
	switch {
	case of.key == lateCost.key: // no wire moves
		c.Text, c.Note = f.money(q.Cost), string(f.currency)
	case byMoney:
		c.Text, c.Note = c.Note, c.Text
	}
	return c
}

// alloys are those of the wires in the books.
func alloys(b *workshop.Books) (options []page.Option) {
	var names []string
	for _, l := range b.Roll.Lines {
		names = append(names, string(b.Wires[l.Wire].Alloy))
	}
	slices.Sort(names)
	for _, n := range slices.Compact(names) {
		options = append(options, page.Option{Value: n, Text: strings.ReplaceAll(n, "-", " ")})
	}
	return options
}

// with gives the query of the same list with another quantity first.
func with(q url.Values, by string) string {
	kept := maps.Clone(q)
	kept.Del("by")
	if by != "" {
		kept.Set("by", by)
	}
	return kept.Encode()
}
