package people

import (
	"html/template"
	"net/url"
	"strings"

	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// peoplePage answers who can come in, and as what.
type peoplePage struct {
	page.Frame
	Tabs   []page.Tab
	Head   page.Head
	People page.Table
	Faults page.Faults
	Fields []page.Field
}

// people shows an owner everyone; anybody else only themselves.
func (p place) people(r *page.Request) (page.Reply, error) {
	if !r.May() {
		return page.Redirect("/you"), nil
	}
	return p.show(r, page.NewForm(nil), page.Show)
}

func (p place) show(r *page.Request, f *page.Form, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	members, err := p.shop.People(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	v := peoplePage{Frame: r.Frame("People"), Tabs: tabs(r, "/people"), People: page.NewTable(r.Request.URL.Query(), peopleList(r), members), Fields: addFields(f)}
	v.Head = page.Head{Place: "People", Answer: page.Plural(active(members), "person can sign in", "people can sign in")}
	v.Faults = f.Said(v.Fields...)
	return as(peopleTemplate, v), nil
}

func active(members []workshop.Member) (n int) {
	for _, m := range members {
		if !m.Off() {
			n++
		}
	}
	return n
}

func peopleList(r *page.Request) page.Spec[workshop.Member] {
	return page.Spec[workshop.Member]{ID: "people", Caption: "People of the shop", Path: "/people", Sort: "name", Columns: []page.Column[workshop.Member]{
		{Key: "name", Head: "Name", Cell: func(m workshop.Member) page.Cell { return page.Cell{Text: m.Name, Href: personPath(m.Name)} },
			Compare: func(a, b workshop.Member) int { return strings.Compare(a.Key, b.Key) }},
		{Key: "role", Head: "Role", Cell: func(m workshop.Member) page.Cell { return page.Text(string(m.Role)) },
			Compare: func(a, b workshop.Member) int { return strings.Compare(string(a.Role), string(b.Role)) }},
		{Key: "state", Head: "May sign in", Cell: func(m workshop.Member) page.Cell {
			if m.Off() {
				return page.Cell{Tags: []page.Tag{{Text: "off", Tone: page.Wait}}, Note: "since " + r.Units().Moment(m.OffAt)}
			}
			return page.Cell{Text: "yes", Note: "since " + r.Units().Moment(m.AddedAt)}
		}},
		{Key: "did", Head: "What they did", Cell: func(m workshop.Member) page.Cell {
			return page.Cell{Text: "Audit", Href: "/audit?person=" + url.QueryEscape(m.Name)}
		}},
	}}
}

func personPath(name string) string { return "/people/one?name=" + url.QueryEscape(name) }

func addFields(f *page.Form) []page.Field {
	name := f.Field("name", "Name").Required().Hinted("As it stands in the books under what they do; it cannot be changed later.")
	name.Complete = "off"
	return []page.Field{name, f.Field("role", "Role").Required().Choice(roleOptions()...),
		f.Field("password", "Password").Required().Password("new-password").Hinted(passwordHint)}
}

// add lets a new person in.
func (p place) add(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	name, role := f.Get("name"), workshop.Role(f.Get("role"))
	err = p.shop.AddPerson(r.Ctx(), name, role, f.Values.Get("password"))
	if err == nil {
		return r.Back("/people", page.Done(name+" can sign in as "+string(role)+"."), nil)
	}
	return p.again(r, f, err)
}

// again shows the people with the form that was refused; who may not even see them is told so.
func (p place) again(r *page.Request, f *page.Form, err error) (page.Reply, error) {
	if !r.May() {
		return page.Reply{}, err
	}
	if err := f.Refuse(err); err != nil {
		return page.Reply{}, err
	}
	return p.show(r, f, page.Refused)
}
