package web

import (
	"errors"
	"net/http"
	"time"

	"github.com/gin-gonic/gin"

	"windingroom/internal/workshop"
)

// door is what the pages call themselves in the audit.
const door = "page"

// What this request knows and does of its session, kept in gin's context until the answer is written.
const (
	tokenKey = "session token" // that the browser sent, or that it is given now
	freshKey = "session begun"
	endedKey = "session ended"
)

// session puts the person into the request whose session the browser's token is. The session stands in the database, so it ends
// everywhere at once, and every server on it knows it.
func (s *server) session(c *gin.Context) {
	token, err := c.Cookie(cookieName(c.Request))
	if err != nil || token == "" {
		return
	}
	person, err := s.shop.PersonOf(c.Request.Context(), token, door)
	switch {
	case err == nil:
		c.Set(tokenKey, token)
		c.Request = c.Request.WithContext(workshop.WithPerson(c.Request.Context(), person))
	case errors.Is(err, workshop.ErrUnknownPerson):
		c.Set(endedKey, true)
	default:
		s.site.Fail(c, err)
	}
}

// Token gives the token of the session; empty where nobody is signed in.
func (s *server) Token(c *gin.Context) string { return c.GetString(tokenKey) }

// Begin gives the browser the token of a new session.
func (s *server) Begin(c *gin.Context, token string) {
	c.Set(tokenKey, token)
	c.Set(freshKey, true)
	c.Set(endedKey, false)
}

// End has the browser forget its token.
func (s *server) End(c *gin.Context) {
	c.Set(tokenKey, "")
	c.Set(freshKey, false)
	c.Set(endedKey, true)
}

// Commit tells the browser what changed of its session, and the sentence that was left for the next page.
func (s *server) Commit(c *gin.Context) error {
	switch {
	case c.GetBool(freshKey):
		http.SetCookie(c.Writer, cookie(c.Request, cookieName(c.Request), s.Token(c), workshop.SessionLife))
	case c.GetBool(endedKey):
		http.SetCookie(c.Writer, cookie(c.Request, cookieName(c.Request), "", 0))
	}
	return s.commitNotice(c)
}

// encrypted says whether the page came over an encrypted connection, from here or from a proxy in front.
func encrypted(r *http.Request) bool {
	return r.TLS != nil || r.Header.Get("X-Forwarded-Proto") == "https"
}

// cookieName has the prefix that keeps other hosts of the same domain from planting the cookie, which browsers take on encrypted
// connections only (RFC 6265bis, section 4.1.3, from memory).
func cookieName(r *http.Request) string {
	if encrypted(r) {
		return "__Host-windingroom"
	}
	return "windingroom"
}

// cookie is kept for a time; without one the browser forgets it.
func cookie(r *http.Request, name, value string, lasts time.Duration) *http.Cookie {
	c := &http.Cookie{Name: name, Value: value, Path: "/", MaxAge: int(lasts / time.Second), HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: encrypted(r)}
	if lasts <= 0 {
		c.MaxAge = -1
	}
	return c
}
