package wire

import (
	"html/template"

	"windingroom/internal/stock"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// taresPage answers what empty spools weigh.
type taresPage struct {
	page.Frame
	Tabs   []page.Tab
	Head   page.Head
	Types  page.Table
	May    bool
	Faults page.Faults
	Fields []page.Field
}

func (p place) tares(r *page.Request) (page.Reply, error) {
	return p.showTares(r, page.NewForm(nil), page.Show)
}

func (p place) showTares(r *page.Request, f *page.Form, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	types, err := p.shop.SpoolTypes(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	u := r.Units()
	v := taresPage{Frame: r.Frame("Empty spools"), Tabs: tabs(r, ""), May: r.May(workshop.Winder, workshop.Lead)}
	v.Head = page.Head{Place: "Wire", Answer: "The shop knows the tare of " + page.Plural(len(types), "type of spool", "types of spools"),
		Note: "A spool that comes in full cannot be weighed empty. Its type stands for it, learned from spools that were wound empty."}
	v.Types = page.Plain("types", "Types of spools", []page.Column[stock.SpoolType]{
		{Head: "Type", Cell: func(t stock.SpoolType) page.Cell { return page.Text(t.Name) }},
		{Head: "Tare, " + u.MassUnit(), Number: true, Cell: func(t stock.SpoolType) page.Cell { return massCell(u, t.Tare) }},
		{Head: "One may be off by, " + u.MassUnit(), Number: true, Cell: func(t stock.SpoolType) page.Cell { return massCell(u, t.Spread()) }},
		{Head: "Weighed", Number: true, Cell: func(t stock.SpoolType) page.Cell { return page.Text(u.Count(t.Weighed)) }},
	}, types)
	v.Types.Empty = page.Empty{Title: "No type yet", Text: "Weigh an empty spool and give its type a name: it is known from then on."}
	names := make([]string, len(types))
	for i, t := range types {
		names[i] = t.Name
	}
	v.Fields = []page.Field{f.Field("type", "Type").Required().Suggesting(names...).Hinted("A name without spaces, such as 2kg-grey."), f.Field("mass_g", "Weight of the empty spool").Number(u.MassUnit()).Required()}
	v.Faults = f.Said(v.Fields...)
	return as(taresTemplate, v), nil
}

func (p place) learnTare(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	mass := page.Read(f, "mass_g", r.Units().ParseMass)
	if !f.OK() {
		return p.showTares(r, f, page.Refused)
	}
	learned, err := p.shop.LearnTare(r.Ctx(), f.Get("type"), mass, f.Get("key"))
	if err == nil {
		return r.Back("/wire/tares", page.Done("Spools of type "+learned.Name+" weigh "+r.Units().Mass(learned.Tare).String()+" empty."), nil)
	}
	if err := refuse(f, err); err != nil {
		return page.Reply{}, err
	}
	return p.showTares(r, f, page.Refused)
}
