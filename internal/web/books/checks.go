package books

import (
	"windingroom/internal/costing"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// checksPage answers what was reconciled with what.
type checksPage struct {
	monthPage
	Table page.Table
}

func (p place) checks(r *page.Request) (page.Reply, error) {
	return p.month(r, "/checks", func(m monthPage, b *workshop.Books) page.Reply {
		v, f := checksPage{monthPage: m}, figuresOf(r, b)
		v.Table = page.NewTable(r.Request.URL.Query(), f.checksSpec(), b.Checks)
		return page.Show(checksTemplate, v)
	})
}

func (f figures) checksSpec() page.Spec[workshop.Check] {
	number := func(of func(workshop.Check) int64) func(workshop.Check) page.Cell {
		return func(c workshop.Check) page.Cell { return page.Text(f.checked(c, of(c))) }
	}
	return page.Spec[workshop.Check]{ID: "checks", Caption: "Checks", Path: monthPath(f.month) + "/checks", Columns: []page.Column[workshop.Check]{
		{Key: "what", Head: "What must agree", Cell: func(c workshop.Check) page.Cell { return page.Text(page.Sentence(c.What)) }},
		{Key: "books", Head: "The books say", Number: true, Cell: number(func(c workshop.Check) int64 { return c.Books })},
		{Key: "against", Head: "Held against", Number: true, Cell: number(func(c workshop.Check) int64 { return c.Against })},
		{Key: "difference", Head: "Difference", Number: true, Cell: func(c workshop.Check) page.Cell {
			if c.Difference() == 0 {
				return page.Cell{Tags: []page.Tag{{Text: "0", Tone: page.Good}}}
			}
			return page.Cell{Tags: []page.Tag{{Text: f.checked(c, c.Difference()), Tone: page.Wrong}}}
		}, Compare: func(a, b workshop.Check) int { return int(max(-1, min(1, size(a)-size(b)))) }},
	}, Choices: []page.Choice[workshop.Check]{{Key: "off", Label: "Difference", Options: []page.Option{{Value: "yes", Text: "Not 0"}},
		Keep: func(c workshop.Check, _ string) bool { return c.Difference() != 0 }}}}
}

// size is how far a check is off.
func size(c workshop.Check) int64 { return max(c.Difference(), -c.Difference()) }

// checked prints a figure of a check with its unit.
func (f figures) checked(c workshop.Check, v int64) string {
	if c.Mass {
		return f.mass(costing.Quantity{Mass: measure.Mass(v)}) + "\u00a0" + f.unit()
	}
	return f.money(money.Minor(v)) + "\u00a0" + string(f.currency)
}
