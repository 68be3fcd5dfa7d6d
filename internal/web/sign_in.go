package web

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"windingroom/internal/problem"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// signInPage asks for name and password.
type signInPage struct {
	page.Frame
	Faults         page.Faults
	Name, Password page.Field
	Next           string // where to go on to
	NoOwner        bool   // nobody can sign in as owner yet
}

func (s *server) newSignIn(r *page.Request, f *page.Form, next string) (signInPage, error) {
	owned, err := s.shop.HasOwner(r.Ctx())
	v := signInPage{Frame: r.Frame("Sign in"), Next: inside(next), NoOwner: !owned, Faults: f.Said()}
	v.Name = f.Field("name", "Name").Required()
	v.Name.Complete, v.Name.Focus = "username", true
	v.Password = f.Field("password", "Password").Required().Password("current-password")
	return v, err
}

func (s *server) signInForm(r *page.Request) (page.Reply, error) {
	v, err := s.newSignIn(r, page.NewForm(nil), r.Query("next"))
	return page.Show(signInTemplate, v), err
}

// signIn begins a session with a token of its own: one that somebody planted before is worth nothing, and the one before ends.
func (s *server) signIn(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	token, person, err := s.shop.SignIn(r.Ctx(), workshop.Credentials{
		Name: f.Get("name"), Password: f.Values.Get("password"), Address: r.ClientIP(), Via: door,
	})
	if err != nil {
		return s.notSignedIn(r, f, err)
	}
	if before := s.Token(r.Context); before != "" {
		if err := s.shop.SignOut(r.Ctx(), before); err != nil {
			return page.Reply{}, err
		}
	}
	s.Begin(r.Context, token)
	r.Say(page.Done("Signed in as " + person.Name + ", " + string(person.Role) + "."))
	return page.Redirect(inside(f.Values.Get("next"))), nil
}

// notSignedIn shows the form again: that it was wrong, not what of it, or how long to wait.
func (s *server) notSignedIn(r *page.Request, f *page.Form, err error) (page.Reply, error) {
	status, slowed := http.StatusUnprocessableEntity, workshop.Slowed{}
	switch {
	case errors.As(err, &slowed):
		status = http.StatusTooManyRequests
		r.Header("Retry-After", strconv.Itoa(slowed.Seconds()))
		f.Other = append(f.Other, fmt.Sprintf("There were too many tries. Wait %s, then try again.", page.Plural(slowed.Seconds(), "second", "seconds")))
	case errors.Is(err, workshop.ErrSignIn):
		f.Other = append(f.Other, "The name or the password is not right. An owner can set a new password.")
	default:
		return page.Reply{}, err
	}
	v, err := s.newSignIn(r, f, f.Values.Get("next"))
	return page.Show(signInTemplate, v).Status(status), err
}

func (s *server) signOut(r *page.Request) (page.Reply, error) {
	if token := s.Token(r.Context); token != "" {
		if err := s.shop.SignOut(r.Ctx(), token); err != nil {
			return page.Reply{}, err
		}
	}
	s.End(r.Context)
	return page.Redirect("/sign-in"), nil
}

// inside lets a person go on to an address of this site only; any other becomes Today.
func inside(next string) string {
	if !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") || strings.ContainsFunc(next, func(r rune) bool { return r == '\\' || r < ' ' || r == 0x7f }) {
		return "/"
	}
	return next
}

// explainPage says what a kind of refusal means; it is what the type of a problem document points to.
type explainPage struct {
	page.Frame
	Help string
}

func (s *server) explain(r *page.Request) (page.Reply, error) {
	title, help, ok := problem.Help(r.Param("name"))
	if !ok {
		return page.Reply{}, problem.ErrNoRoute
	}
	return page.Show(explainTemplate, explainPage{r.Frame(title), help}), nil
}
