package wire

import (
	"errors"
	"fmt"
	"html/template"
	"strings"
	"time"

	"windingroom/internal/stock"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// weighPage takes a spool and then its weight. What the books say is not shown: the scale is asked, not they.
type weighPage struct {
	page.Frame
	Tabs   []page.Tab
	Head   page.Head
	Scan   page.Field
	Spool  stock.SpoolCode // empty: none is scanned yet
	Count  bool
	Facts  []page.Fact
	Tags   []page.Tag
	Faults page.Faults
	Gross  page.Field
	Doubt  []page.Field // what makes a surprising weighing believed
	Word   string       // who else may give their word
	More   []page.Field // in a fold
	Open   bool
}

// forCount says whether a weighing belongs to the count.
const forCount = "count"

func (p place) weigh(r *page.Request) (page.Reply, error) {
	return p.showWeigh(r, page.NewForm(r.Request.URL.Query()), false, page.Show)
}

// showWeigh shows the form; doubted says that the weighing was hard to believe.
func (p place) showWeigh(r *page.Request, f *page.Form, doubted bool, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	v := weighPage{Frame: r.Frame("Weigh"), Tabs: tabs(r, "/wire/weigh"), Count: counts(r, f)}
	v.Bench = true
	v.Head = page.Head{Place: "Wire", Answer: "Which spool is on the scale?"}
	code := f.Get("spool")
	v.Scan = f.Field("spool", "Spool").Required().Scanned().Hinted("Scan its label, or type its code.")
	if code == "" {
		return as(weighTemplate, v), nil
	}
	found, err := p.shop.Find(r.Ctx(), code)
	if err == nil && found.Spool == "" {
		err = fmt.Errorf("%s is no spool: %w", code, workshop.ErrNotFound)
	}
	if err != nil {
		f.Mark("spool", fmt.Errorf("there is no spool %s", code))
		v.Scan.Error = f.Wrong["spool"]
		v.Faults = f.Said(v.Scan)
		return page.Refused(weighTemplate, v), nil
	}
	s, err := p.shop.SpoolStory(r.Ctx(), found.Spool)
	if err != nil {
		return page.Reply{}, err
	}
	u, b := r.Units(), s.Spool
	v.Spool, v.Tags = b.Code, spoolTags(b)
	v.Head.Answer = "What does " + string(b.Code) + " weigh?"
	v.Head.Note = "With its spool on, as the scale shows it."
	v.Facts = []page.Fact{{Term: "Wire", Text: string(b.Wire) + ", " + s.AlloyName}, {Term: "Lot", Text: b.Lot}, {Term: "Place", Text: placeText(b)}, {Term: "Empty spool", Text: u.Mass(b.Tare).String()}}
	v.Gross = f.Field("gross_g", "Weight").Number(u.MassUnit()).Required().Scanned()
	if doubted || f.Get("second_g") != "" {
		v.Gross.Focus = false
		second := f.Field("second_g", "Second weight").Number(u.MassUnit()).Hinted("Take the spool off, put it on again, and type what the scale shows now.")
		second.Large, second.Focus = true, true
		v.Doubt = append(v.Doubt, second)
		if r.May(workshop.Lead) {
			v.Doubt = append(v.Doubt, f.Field("confirm", "I have looked: the first weight is right").Check())
		} else {
			v.Word = "Or fetch a lead or an owner, who can give their word for it."
		}
	}
	at := f.Field("at", "Weighed at").Hinted("Empty: now.")
	at.Type = "datetime-local"
	v.More = []page.Field{f.Field("note", "Note"), at}
	v.Open = f.Wrong["at"] != "" || f.Wrong["note"] != ""
	v.Faults = f.Said(append(append([]page.Field{v.Gross}, v.Doubt...), v.More...)...)
	return as(weighTemplate, v), nil
}

// counts says whether a reading is one of the count: asked for, or by who may count alone.
func counts(r *page.Request, f *page.Form) bool {
	return f.Get("for") == forCount || !r.May(workshop.Winder, workshop.Lead)
}

func (p place) weighed(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	u := r.Units()
	in := workshop.Weigh{Spool: stock.SpoolCode(f.Get("spool")), Note: f.Get("note"), Confirmed: f.Get("confirm") != "", Key: f.Get("key")}
	in.Gross = page.Read(f, "gross_g", u.ParseMass)
	if f.Get("second_g") != "" {
		second := page.Read(f, "second_g", u.ParseMass)
		in.Second = &second
	}
	if f.Get("at") != "" {
		in.At = page.Read(f, "at", func(text string) (time.Time, error) { return moment(r, text) })
	}
	if !f.OK() {
		return p.showWeigh(r, f, false, page.Refused)
	}
	ask := p.shop.Weigh
	if counts(r, f) {
		ask = p.shop.Count
	}
	out, err := ask(r.Ctx(), in)
	if err != nil {
		doubted := errors.Is(err, stock.ErrUnconfirmed)
		if doubted { // what to do about it the form says itself
			f.Other = append(f.Other, page.Reworded(u, page.Sentence(strings.TrimSuffix(err.Error(), ": "+stock.ErrUnconfirmed.Error()))))
		} else if err := refuse(f, err); err != nil {
			return page.Reply{}, err
		}
		return p.showWeigh(r, f, doubted, page.Refused)
	}
	to := "/wire/weigh"
	if f.Get("for") == forCount {
		to = "/wire/count"
	}
	done := page.Done(weighedText(u, out)).Undoing(undoPath(out.Movement.ID), "spool", string(out.Movement.Spool), "weighing", "yes")
	if len(out.Short) > 0 {
		done.Tone = page.Wait
	}
	return r.Back(to, done, nil)
}

// moment reads a moment of the shop's clock.
func moment(r *page.Request, text string) (time.Time, error) {
	at, err := time.ParseInLocation("2006-01-02T15:04", text, r.Site.Zone())
	if err != nil {
		return at, fmt.Errorf("%q is no moment such as 2026-03-02T06:30", text)
	}
	return at, nil
}

// weighedText tells what became of a weighing.
func weighedText(u units.Units, out workshop.Weighed) string {
	w := out.Weighing
	text := fmt.Sprintf("%s holds %s", out.Movement.Spool, u.Mass(w.Net))
	bearers := bearersText(u, w.Shares)
	switch d := w.Net - w.Book; {
	case d == 0:
		text += ", as the books say."
	case w.Noise:
		text += fmt.Sprintf(": %s than the books said, which is noise: scale, tare and draws leave %s open.", off(u, d), u.Mass(w.Uncertainty))
	case bearers == "":
		text += fmt.Sprintf(": %s than the books said, charged to no batch.", off(u, d))
	default:
		text += fmt.Sprintf(": %s than the books said, charged to %s.", off(u, d), bearers)
	}
	for _, s := range out.Short {
		text += fmt.Sprintf(" Batch %s has %s less than it was promised: plan it again.", s.Batch, u.Mass(s.Mass))
	}
	return text
}
