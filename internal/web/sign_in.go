package web

import (
	"errors"
	"strings"

	"windingroom/internal/problem"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// signInPage asks for a token.
type signInPage struct {
	page.Frame
	Next  string // where to go on to
	Wrong string // why the last try failed
}

func (s *server) signInForm(r *page.Request) (page.Reply, error) {
	return page.Show(signInTemplate, signInPage{Frame: r.Frame("Sign in"), Next: inside(r.Query("next"))}), nil
}

func (s *server) signIn(r *page.Request) (page.Reply, error) {
	if err := r.Request.ParseForm(); err != nil {
		return page.Reply{}, problem.ErrMalformed
	}
	ctx, token := r.Ctx(), strings.TrimSpace(r.PostForm("token"))
	next := inside(r.PostForm("next"))
	person, err := s.shop.Bearer(ctx, token)
	if errors.Is(err, workshop.ErrUnknownPerson) {
		return page.Refused(signInTemplate, signInPage{
			Frame: r.Frame("Sign in"), Next: next, Wrong: "This token is not known. It begins with wr_ and must be copied whole.",
		}), nil
	}
	if err != nil {
		return page.Reply{}, err
	}
	if err := s.sessions.RenewToken(ctx); err != nil { // a session that someone planted before is worth nothing now
		return page.Reply{}, err
	}
	s.sessions.Put(ctx, tokenEntry, token)
	r.Say(page.Done("Signed in as " + person.Name + ", " + string(person.Role) + "."))
	return page.Redirect(next), nil
}

func (s *server) signOut(r *page.Request) (page.Reply, error) {
	if err := s.sessions.Destroy(r.Ctx()); err != nil {
		return page.Reply{}, err
	}
	return page.Redirect("/sign-in"), nil
}

// inside lets a person go on to an address of this site only; any other becomes Today.
func inside(next string) string {
	if !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") || strings.ContainsAny(next, "\\\r\n\t") {
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
