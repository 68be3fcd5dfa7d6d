package web

import (
	"errors"
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"

	"windingroom/internal/problem"
	"windingroom/internal/workshop"
)

// signInPage asks for a token.
type signInPage struct {
	frame
	Next  string // where to go on to
	Wrong string // why the last try failed
}

func (s *server) signInForm(c *gin.Context) (reply, error) {
	return show(signInTemplate, signInPage{frame: s.frame(c, "Sign in"), Next: inside(c.Query("next"))}), nil
}

func (s *server) signIn(c *gin.Context) (reply, error) {
	if err := c.Request.ParseForm(); err != nil {
		return reply{}, problem.ErrMalformed
	}
	ctx, token := c.Request.Context(), strings.TrimSpace(c.PostForm("token"))
	next := inside(c.PostForm("next"))
	person, err := s.shop.Bearer(ctx, token)
	if errors.Is(err, workshop.ErrUnknownPerson) {
		r := show(signInTemplate, signInPage{
			frame: s.frame(c, "Sign in"), Next: next, Wrong: "This token is not known. It begins with wr_ and must be copied whole.",
		})
		r.status = http.StatusUnprocessableEntity
		return r, nil
	}
	if err != nil {
		return reply{}, err
	}
	if err := s.sessions.RenewToken(ctx); err != nil { // a session that someone planted before is worth nothing now
		return reply{}, err
	}
	s.sessions.Put(ctx, tokenEntry, token)
	s.say(c, flash{Text: "Signed in as " + person.Name + ", " + string(person.Role) + "."})
	return redirect(next), nil
}

func (s *server) signOut(c *gin.Context) (reply, error) {
	if err := s.sessions.Destroy(c.Request.Context()); err != nil {
		return reply{}, err
	}
	return redirect("/sign-in"), nil
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
	frame
	Help string
}

func (s *server) explain(c *gin.Context) (reply, error) {
	title, help, ok := problem.Help(c.Param("name"))
	if !ok {
		return reply{}, problem.ErrNoRoute
	}
	return show(explainTemplate, explainPage{s.frame(c, title), help}), nil
}
