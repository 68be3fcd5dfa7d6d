package web

import (
	"bytes"
	"html/template"
	"net/http"
	"net/url"

	"github.com/gin-gonic/gin"

	"windingroom/internal/httpd"
	"windingroom/internal/workshop"
)

// handler answers a request with a reply, or with an error that becomes an error page.
type handler func(*gin.Context) (reply, error)

// reply is what a handler answers: a page, a way to go on, or a file. Nothing of it is written before all of it is known, so
// a template that fails never sends half a page.
type reply struct {
	status int
	page   *template.Template
	data   any
	to     string // address to go on to
	file   []byte
	media  string // media type of the file
	name   string // the file's name
}

func redirect(to string) reply { return reply{status: http.StatusSeeOther, to: to} }

func show(page *template.Template, data any) reply {
	return reply{status: http.StatusOK, page: page, data: data}
}

// page is the only place that writes an answer of the pages.
func (s *server) page(handle handler) gin.HandlerFunc {
	return func(c *gin.Context) {
		r, err := handle(c)
		if err == nil {
			err = s.send(c, r)
		}
		if err != nil {
			s.fail(c, err)
		}
	}
}

func (s *server) send(c *gin.Context, r reply) error {
	body, media := r.file, r.media
	if r.page != nil {
		var b bytes.Buffer
		if err := r.page.Execute(&b, r.data); err != nil {
			return err
		}
		body, media = b.Bytes(), "text/html; charset=utf-8"
	}
	if err := s.commit(c); err != nil {
		return err
	}
	switch {
	case r.to != "":
		c.Redirect(r.status, r.to)
	default:
		if r.name != "" {
			c.Header("Content-Disposition", `attachment; filename="`+r.name+`"`)
		}
		c.Data(r.status, media, body)
	}
	return nil
}

// fail answers an error with a page that says no more than problem allows.
func (s *server) fail(c *gin.Context, err error) {
	p := httpd.Problem(c, err)
	f := s.frame(c, p.Title)
	var b bytes.Buffer
	if err := errorTemplate.Execute(&b, errorPage{frame: f, Problem: p}); err != nil {
		_ = c.Error(err)
		c.String(http.StatusInternalServerError, "Internal error. Request %s.\n", p.RequestID)
	} else {
		c.Data(p.Status, "text/html; charset=utf-8", b.Bytes())
	}
	c.Abort()
}

// frame is what every page shows around its own part.
type frame struct {
	Title  string
	Shop   string
	Person *workshop.Person // nil when nobody is signed in
	Style  string           // address of the style sheet
	Icon   string
	Flash  *flash
}

func (s *server) frame(c *gin.Context, title string) frame {
	f := frame{Title: title, Shop: s.shop.Name, Style: styleAddress, Icon: iconAddress}
	if p, ok := workshop.Acting(c.Request.Context()); ok {
		f.Person = &p
	}
	return f
}

func escape(text string) string { return url.QueryEscape(text) }
