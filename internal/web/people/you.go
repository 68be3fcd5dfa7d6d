package people

import (
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"strconv"

	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// youPage is what the one who is signed in can do for themselves.
type youPage struct {
	page.Frame
	Tabs     []page.Tab
	Head     page.Head
	Sessions page.Table
	Acts     []page.Action
	Name     string
	Faults   page.Faults
	Fields   []page.Field
}

func (p place) you(r *page.Request) (page.Reply, error) {
	return p.showYou(r, page.NewForm(nil), page.Show)
}

func (p place) showYou(r *page.Request, f *page.Form, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	sessions, err := p.shop.OwnSessions(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	person, _ := r.Person()
	v := youPage{Frame: r.Frame("You"), Tabs: tabs(r, "/you"), Name: person.Name, Sessions: page.Plain("sessions", "Where you are signed in", sessionColumns(r), sessions)}
	v.Head = page.Head{Place: "You", Answer: person.Name + ", " + string(person.Role), Note: "A session ends after four hours without use, and after fourteen in any case."}
	v.Acts = []page.Action{page.Button("Sign out everywhere", "/you/sign-out-everywhere").As("second")}
	v.Fields = []page.Field{f.Field("present", "Present password").Required().Password("current-password"),
		f.Field("password", "New password").Required().Password("new-password").Hinted(passwordHint)}
	v.Faults = f.Said(v.Fields...)
	return as(youTemplate, v), nil
}

func sessionColumns(r *page.Request) []page.Column[workshop.Session] {
	return []page.Column[workshop.Session]{
		{Head: "Since", Cell: func(e workshop.Session) page.Cell { return page.Text(r.Units().Moment(e.BeganAt)) }},
		{Head: "Last used", Cell: func(e workshop.Session) page.Cell { return page.Text(r.Units().Moment(e.SeenAt)) }},
		{Head: "From", Cell: func(e workshop.Session) page.Cell { return page.Text(e.Address) }},
	}
}

// ownPassword changes the password of who is signed in and goes on in a new session.
func (p place) ownPassword(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	token, err := p.shop.ChangeOwnPassword(r.Ctx(), f.Values.Get("present"), f.Values.Get("password"), r.ClientIP())
	status, slowed := http.StatusUnprocessableEntity, workshop.Slowed{}
	switch {
	case err == nil:
		p.sessions.Begin(r.Context, token)
		return r.Back("/you", page.Done("Your password is changed, and you were signed out everywhere else."), nil)
	case errors.As(err, &slowed):
		status = http.StatusTooManyRequests
		r.Header("Retry-After", strconv.Itoa(slowed.Seconds()))
		f.Mark("present", fmt.Errorf("was wrong too often; wait %s", page.Plural(slowed.Seconds(), "second", "seconds")))
	case errors.Is(err, workshop.ErrSignIn):
		f.Mark("present", errors.New("is not right"))
	default:
		if err := f.Refuse(err); err != nil {
			return page.Reply{}, err
		}
	}
	reply, err := p.showYou(r, f, page.Refused)
	return reply.Status(status), err
}

func (p place) everywhere(r *page.Request) (page.Reply, error) {
	if _, err := p.shop.SignOutEverywhere(r.Ctx()); err != nil {
		return page.Reply{}, err
	}
	p.sessions.End(r.Context)
	return page.Redirect("/sign-in"), nil
}
