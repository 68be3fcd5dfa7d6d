package books

import (
	"html/template"
	"slices"
	"strings"

	"windingroom/internal/costing"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// methodsPage answers by which formula the books value each alloy, since when and why.
type methodsPage struct {
	page.Frame
	Head    page.Head
	Tabs    []page.Tab
	Now     page.Table
	Changes page.Table
	Faults  page.Faults
	Fields  []page.Field
	May     bool // choose
}

func (p place) methods(r *page.Request) (page.Reply, error) {
	return p.showMethods(r, page.NewForm(nil), page.Show)
}

func (p place) showMethods(r *page.Request, f *page.Form, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	families, err := p.shop.FamilyMethods(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	changes, err := p.shop.CostMethods(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	slices.SortStableFunc(changes, func(a, b workshop.CostMethod) int { return int(b.From - a.From) })
	v := methodsPage{Frame: r.Frame("Methods"), Tabs: tabs(r, "/books/methods"), Head: page.Head{Place: "Books", Answer: methodsAnswer(families),
		Note: "Wire of one alloy is valued by one formula. A change counts from a month on and shows in the books as a revaluation; a closed month keeps its method."}}
	v.Now = page.Plain("now", "This month", nowColumns(), families)
	v.Now.Empty = page.Empty{Title: "The shop has no wire yet", Text: "Alloys stand here once the shop has wire of them."}
	v.Changes = page.Plain("changes", "Every choice, the latest month first", changesColumns(r), changes)
	v.Changes.Empty = page.Empty{Title: "Nothing was ever chosen", Text: "Until then the books go lot by lot: each spool at what it cost."}
	v.May, v.Fields = keeps(r), methodFields(r, f, families)
	v.Faults = f.Said(v.Fields...)
	return as(methodsTemplate, v), nil
}

// methodsAnswer names the one formula of all alloys, or says that they differ.
func methodsAnswer(families []workshop.FamilyMethod) string {
	same := slices.CompactFunc(slices.Clone(families), func(a, b workshop.FamilyMethod) bool { return a.Formula == b.Formula })
	if len(same) <= 1 {
		of := costing.Default
		if len(same) == 1 {
			of = same[0].Formula
		}
		return "The books value every alloy " + phrase(of)
	}
	return "The books value alloys by different formulas"
}

// phrase says how a formula values.
func phrase(f costing.Formula) string {
	switch f {
	case costing.FIFO:
		return "first in, first out"
	case costing.MovingAverage:
		return "at the moving average"
	}
	return "lot by lot"
}

func nowColumns() []page.Column[workshop.FamilyMethod] {
	return []page.Column[workshop.FamilyMethod]{
		{Head: "Alloy", Cell: func(m workshop.FamilyMethod) page.Cell { return page.Code(m.Family, "") }},
		{Head: "Valued", Cell: func(m workshop.FamilyMethod) page.Cell { return page.Text(phrase(m.Formula)) }},
		{Head: "Wires", Number: true, Cell: func(m workshop.FamilyMethod) page.Cell { return page.Text(page.Number(float64(m.Wires))) }},
	}
}

func changesColumns(r *page.Request) []page.Column[workshop.CostMethod] {
	return []page.Column[workshop.CostMethod]{
		{Head: "From", Cell: func(m workshop.CostMethod) page.Cell { return page.Text(named(m.From)) }},
		{Head: "Alloy", Cell: func(m workshop.CostMethod) page.Cell {
			if m.Family == "" {
				return page.Text("every other")
			}
			return page.Code(m.Family, "")
		}},
		{Head: "Valued", Cell: func(m workshop.CostMethod) page.Cell { return page.Text(phrase(m.Formula)) }},
		{Head: "Why", Cell: func(m workshop.CostMethod) page.Cell { return page.Text(m.Reason) }},
		{Head: "Chosen", Cell: func(m workshop.CostMethod) page.Cell {
			return page.Cell{Text: m.SetBy, Note: r.Units().Moment(m.SetAt)}
		}},
	}
}

// everyOther stands in the form for the alloys without a choice of their own: a field that must be filled takes no empty value.
const everyOther = "*"

func methodFields(r *page.Request, f *page.Form, families []workshop.FamilyMethod) []page.Field {
	options := []page.Option{{Value: everyOther, Text: "every alloy without a choice of its own"}}
	for _, m := range families {
		options = append(options, page.Option{Value: m.Family, Text: m.Family})
	}
	var ways []page.Option
	for _, one := range costing.Formulas() {
		ways = append(ways, page.Option{Value: string(one), Text: phrase(one)})
	}
	family := f.Field("family", "Alloy").Choice(options...)
	family.Needed = true
	return []page.Field{family, f.Field("method", "Valued").Required().Choice(ways...),
		f.Field("from", "From month").Required().Starting(costing.PeriodOf(r.Site.Today()).String()).Hinted("Year and month, such as " + costing.PeriodOf(r.Site.Today()).String() + "."),
		f.Field("reason", "Reason").Required().Hinted("An auditor reads it.")}
}

// choose decides the method of an alloy from a month on.
func (p place) choose(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	m := costing.Method{Family: strings.TrimPrefix(f.Get("family"), everyOther), Formula: costing.Formula(f.Get("method")), From: page.Read(f, "from", costing.ParsePeriod)}
	if f.OK() {
		_, err = p.shop.SetCostMethod(r.Ctx(), m, f.Get("reason"))
		if err == nil {
			what := strings.TrimSpace(m.Family)
			if what == "" {
				what = "every other alloy"
			}
			return r.Back("/books/methods", page.Done("From "+named(m.From)+" the books value "+what+" "+phrase(m.Formula)+"."), nil)
		}
		if !keeps(r) {
			return page.Reply{}, err
		}
		if err := f.Refuse(err); err != nil {
			return page.Reply{}, err
		}
	}
	return p.showMethods(r, f, page.Refused)
}
