package page

import (
	"bytes"
	"html/template"
	"io"
	"maps"
	"net/http"
	"net/url"
	"strings"

	"github.com/gin-gonic/gin"

	"windingroom/internal/calendar"
	"windingroom/internal/httpd"
	"windingroom/internal/problem"
)

// Handler answers a request with a reply, or with an error that becomes an error page.
type Handler func(*Request) (Reply, error)

// Reply is what a handler answers: a page, a way to go on, or a file. Nothing of it is written before all of it is known, so a
// template that fails never sends half a page.
type Reply struct {
	status    int
	page      *template.Template
	data      any
	fragments map[string]string // templates that answer htmx alone, by the id of what they replace
	to        string            // address to go on to
	file      []byte
	body      io.Reader // of a file that may be long, in place of file
	size      int64     // of body
	done      func()    // after body
	media     string    // media type of the file
	name      string    // the file's name; empty: shown, not kept
}

// Show answers with a page. data embeds Frame.
func Show(page *template.Template, data any) Reply {
	return Reply{status: http.StatusOK, page: page, data: data}
}

// Refused answers with a page that says what is wrong with what was typed: status 422.
func Refused(page *template.Template, data any) Reply {
	return Reply{status: http.StatusUnprocessableEntity, page: page, data: data}
}

// Status answers with another status, such as 429.
func (r Reply) Status(status int) Reply {
	r.status = status
	return r
}

// Redirect goes on to an address of this site after a form.
func Redirect(to string) Reply { return Reply{status: http.StatusSeeOther, to: to} }

// File answers with a file that the browser keeps under a name.
func File(name, media string, body []byte) Reply {
	return Reply{status: http.StatusOK, file: body, media: media, name: name}
}

// LongFile answers with a file that the browser keeps and that may be too long for memory: size bytes of body. done is called when
// it is sent, or was given up.
func LongFile(name, media string, size int64, body io.Reader, done func()) Reply {
	return Reply{status: http.StatusOK, body: body, size: size, done: done, media: media, name: name}
}

// Workbook is the media type of an .xlsx file.
const Workbook = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

// Zip is the media type of several files in one.
const Zip = "application/zip"

// Fragment names the template that answers alone where htmx asks for what has an id (its hx-target), in place of the whole page. What
// was said goes with it. For any other target the whole page answers, of which hx-select takes a part.
func (r Reply) Fragment(id, name string) Reply {
	fragments := map[string]string{id: name}
	maps.Copy(fragments, r.fragments)
	r.fragments = fragments
	return r
}

// Part says whether htmx asks for a part of a page. A page that it restores from its history is asked for whole.
func (r *Request) Part() bool { return part(r.Context) }

func part(c *gin.Context) bool {
	return c.GetHeader("HX-Request") == "true" && c.GetHeader("HX-Boosted") == "" && c.GetHeader("HX-History-Restore-Request") == ""
}

// Back goes on to an address with a sentence: what was done, or why it was refused. An error that is no refusal stays one.
func (r *Request) Back(to string, done Notice, err error) (Reply, error) {
	switch p := problem.From(err); {
	case err == nil:
		r.Say(done)
	case p.Status < http.StatusInternalServerError:
		r.Say(Notice{Tone: Wrong, Text: p.Sentence()})
	default:
		return Reply{}, err
	}
	return Redirect(to), nil
}

// Say leaves a sentence for the next page.
func (r *Request) Say(n Notice) { r.Site.Session.Say(r.Context, n) }

func (s *Site) handle(place Place, handle Handler) gin.HandlerFunc {
	return func(c *gin.Context) {
		r := &Request{Context: c, Site: s, place: place}
		reply, err := handle(r)
		if err == nil {
			err = s.send(r, reply)
		}
		if err != nil {
			s.fail(r, err)
		}
	}
}

// known lets only those in who are signed in. Whoever is not signs in and comes back, to the page they asked for or, from a
// form, to Today.
func known(handle Handler) Handler {
	return func(r *Request) (Reply, error) {
		if _, ok := r.Person(); ok {
			return handle(r)
		}
		to := "/sign-in"
		if r.Request.Method != http.MethodPost {
			to += "?next=" + url.QueryEscape(r.Request.URL.RequestURI())
		}
		return Redirect(to), nil
	}
}

// send is the only place that writes an answer of the pages.
func (s *Site) send(r *Request, reply Reply) error {
	if reply.body != nil {
		return s.sendLong(r, reply)
	}
	body, media := reply.file, reply.media
	if reply.page != nil {
		media = "text/html; charset=utf-8"
		var b bytes.Buffer
		if err := render(&b, r, reply); err != nil {
			return err
		}
		body = b.Bytes()
	}
	if err := s.Session.Commit(r.Context); err != nil {
		return err
	}
	if reply.to != "" {
		r.Redirect(reply.status, reply.to)
		return nil
	}
	if reply.name != "" {
		r.Header("Content-Disposition", kept(reply.name))
	}
	r.Header("Vary", "HX-Request, HX-Target")
	r.Data(reply.status, media, body)
	return nil
}

// kept has the browser keep a file under a name. Whatever could end the name or the header, or lead into a folder, is left away.
func kept(name string) string {
	return `attachment; filename="` + strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f || strings.ContainsRune(`"\/:;%`, r) {
			return -1
		}
		return r
	}, name) + `"`
}

// sendLong sends a file without holding it.
func (s *Site) sendLong(r *Request, reply Reply) error {
	defer reply.done()
	if err := s.Session.Commit(r.Context); err != nil {
		return err
	}
	r.DataFromReader(reply.status, reply.size, reply.media, reply.body, map[string]string{"Content-Disposition": kept(reply.name)})
	return nil
}

// render writes the page, or its fragment with what was said beside it.
func render(b *bytes.Buffer, r *Request, reply Reply) error {
	name := reply.fragments[r.GetHeader("HX-Target")]
	if name == "" || !r.Part() {
		return reply.page.Execute(b, reply.data)
	}
	if err := reply.page.ExecuteTemplate(b, name, reply.data); err != nil {
		return err
	}
	if f, ok := reply.data.(framed); ok && f.frame().Notice != nil {
		return reply.page.ExecuteTemplate(b, "said-beside", f.frame())
	}
	return nil
}

// Fail answers an error with a page that says no more than problem allows; where htmx asked, with a notice on the page that
// stands.
func (s *Site) Fail(c *gin.Context, err error) { s.fail(&Request{Context: c, Site: s}, err) }

func (s *Site) fail(r *Request, err error) {
	p := httpd.Problem(r.Context, err)
	f := r.bare(p.Title)
	page, name := errorTemplate, layout
	if r.Part() {
		f.Notice = &Notice{Tone: Wrong, Text: p.Sentence() + " Request " + p.RequestID + "."}
		name = "said"
		r.Header("HX-Retarget", "#said")
		r.Header("HX-Reswap", "outerHTML")
	}
	var b bytes.Buffer
	if err := page.ExecuteTemplate(&b, name, errorPage{Frame: f, Problem: p}); err != nil {
		_ = r.Error(err)
		r.String(http.StatusInternalServerError, "Internal error. Request %s.\n", p.RequestID)
	} else {
		r.Data(p.Status, "text/html; charset=utf-8", b.Bytes())
	}
	r.Abort()
}

func parseDate(field, text string) (calendar.Date, error) {
	d, err := calendar.ParseDate(text)
	if err != nil {
		return 0, problem.At(field, err)
	}
	return d, nil
}
