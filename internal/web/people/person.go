package people

import (
	"context"
	"fmt"
	"html/template"

	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// onePage is one person and what an owner may change of them.
type onePage struct {
	page.Frame
	Tabs     []page.Tab
	Head     page.Head
	Facts    []page.Fact
	Name     string
	Faults   page.Faults
	Role     page.Field
	Password page.Field
	Acts     []page.Action
}

func (p place) one(r *page.Request) (page.Reply, error) {
	return p.showOne(r, r.Query("name"), page.NewForm(nil), page.Show)
}

func (p place) showOne(r *page.Request, name string, f *page.Form, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	m, err := p.find(r, name)
	if err != nil {
		return page.Reply{}, err
	}
	v := onePage{Frame: r.Frame(m.Name), Tabs: tabs(r, "/people"), Name: m.Name, Head: page.Head{Place: "People", Answer: m.Name}}
	v.Facts = []page.Fact{{Term: "Role", Text: string(m.Role)}, {Term: "Signs in since", Text: r.Units().Moment(m.AddedAt)},
		{Term: "What they did", Text: "Audit", Href: "/audit?person=" + escape(m.Name)}}
	off := page.Button("Turn off", "/people/off", "name", m.Name).Asking(m.Name + " is signed out everywhere and cannot sign in. What they did stays under their name; they can be turned on again.")
	if m.Off() {
		v.Facts = append(v.Facts, page.Fact{Term: "Off since", Text: r.Units().Moment(m.OffAt), Tone: page.Wait})
		off = page.Button("Turn on", "/people/on", "name", m.Name)
	}
	v.Acts = []page.Action{off}
	v.Role = f.Field("role", "Role").Required().Choice(roleOptions()...).Starting(string(m.Role))
	v.Password = f.Field("password", "New password").Required().Password("new-password").Hinted(passwordHint)
	v.Faults = f.Said(v.Role, v.Password)
	return as(oneTemplate, v), nil
}

// find gives the person of a name; only an owner sees any.
func (p place) find(r *page.Request, name string) (workshop.Member, error) {
	members, err := p.shop.People(r.Ctx())
	if err != nil {
		return workshop.Member{}, err
	}
	for _, m := range members {
		if m.Key == workshop.MemberKey(name) {
			return m, nil
		}
	}
	return workshop.Member{}, fmt.Errorf("person %s: %w", name, workshop.ErrNotFound)
}

func (p place) role(r *page.Request) (page.Reply, error) {
	return p.change(r, func(ctx context.Context, name string, f *page.Form) (string, error) {
		role := workshop.Role(f.Get("role"))
		return name + " is now " + string(role) + ".", p.shop.ChangeRole(ctx, name, role)
	})
}

func (p place) password(r *page.Request) (page.Reply, error) {
	return p.change(r, func(ctx context.Context, name string, f *page.Form) (string, error) {
		return name + " signs in with the new password, and was signed out everywhere.", p.shop.SetPassword(ctx, name, f.Values.Get("password"))
	})
}

func (p place) off(r *page.Request) (page.Reply, error) {
	return p.change(r, func(ctx context.Context, name string, _ *page.Form) (string, error) {
		return name + " is off and was signed out everywhere.", p.shop.TurnOff(ctx, name)
	})
}

func (p place) on(r *page.Request) (page.Reply, error) {
	return p.change(r, func(ctx context.Context, name string, _ *page.Form) (string, error) {
		return name + " can sign in again.", p.shop.TurnOn(ctx, name)
	})
}

// change does something to the person of a form and goes back to their page, or shows it with what was refused.
func (p place) change(r *page.Request, do func(context.Context, string, *page.Form) (done string, err error)) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	name := f.Get("name")
	done, err := do(r.Ctx(), name, f)
	if err == nil {
		return r.Back(personPath(name), page.Done(done), nil)
	}
	if !r.May() {
		return page.Reply{}, err
	}
	if err := f.Refuse(err); err != nil {
		return page.Reply{}, err
	}
	return p.showOne(r, name, f, page.Refused)
}
