package web

import (
	"encoding/gob"
	"errors"
	"net/http"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/gin-gonic/gin"

	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// What a session holds. The token stays in this process's memory and is asked for its person on every request, so that a
// token taken back ends its sessions at once.
const (
	tokenEntry  = "token"
	noticeEntry = "notice"
)

const cookieName = "windingroom"

// newSessions keeps sessions in memory: after a restart people sign in again.
func newSessions() *scs.SessionManager {
	m := scs.New()
	m.Lifetime = 14 * time.Hour // a working day
	m.IdleTimeout = 4 * time.Hour
	m.HashTokenInStore = true
	return m
}

func init() { gob.Register(page.Notice{}) }

// session loads the session into the request, and the person who is signed in.
func (s *server) session(c *gin.Context) {
	value, _ := c.Cookie(cookieName)
	ctx, err := s.sessions.Load(c.Request.Context(), value)
	if err != nil {
		s.site.Fail(c, err)
		return
	}
	c.Request = c.Request.WithContext(ctx)
	if token := s.sessions.GetString(ctx, tokenEntry); token != "" {
		person, err := s.shop.Bearer(ctx, token)
		switch {
		case err == nil:
			c.Request = c.Request.WithContext(workshop.WithPerson(ctx, person))
		case errors.Is(err, workshop.ErrUnknownPerson):
			s.sessions.Remove(ctx, tokenEntry)
		default:
			s.site.Fail(c, err)
			return
		}
	}
	c.Next()
}

// Commit keeps what changed in the session and tells the browser.
func (s *server) Commit(c *gin.Context) error {
	ctx := c.Request.Context()
	switch s.sessions.Status(ctx) {
	case scs.Modified:
		value, expires, err := s.sessions.Commit(ctx)
		if err != nil {
			return err
		}
		http.SetCookie(c.Writer, cookie(c.Request, value, expires))
	case scs.Destroyed:
		gone := cookie(c.Request, "", time.Time{})
		gone.MaxAge = -1
		http.SetCookie(c.Writer, gone)
	}
	return nil
}

// cookie is sent over encrypted connections only where the page came over one, from here or from a proxy in front.
func cookie(r *http.Request, value string, expires time.Time) *http.Cookie {
	return &http.Cookie{
		Name: cookieName, Value: value, Path: "/", Expires: expires, HttpOnly: true, SameSite: http.SameSiteLaxMode,
		Secure: r.TLS != nil || r.Header.Get("X-Forwarded-Proto") == "https",
	}
}

// Say leaves a sentence for the next page.
func (s *server) Say(c *gin.Context, n page.Notice) {
	s.sessions.Put(c.Request.Context(), noticeEntry, n)
}

// Said takes the sentence that was left.
func (s *server) Said(c *gin.Context) *page.Notice {
	if n, ok := s.sessions.Pop(c.Request.Context(), noticeEntry).(page.Notice); ok {
		return &n
	}
	return nil
}
