package today

import (
	"errors"
	"fmt"
	"html/template"
	"net/url"
	"strconv"
	"strings"

	"windingroom/internal/measure"
	"windingroom/internal/problem"
	"windingroom/internal/stock"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// weighPage takes what the scale says of one spool.
type weighPage struct {
	page.Frame
	Head   page.Head
	Path   string
	Faults page.Faults
	Fields []page.Field
	Twice  bool // the first reading was a surprise
	Hidden []page.Pair
}

func (p place) weighForm(r *page.Request) (page.Reply, error) {
	return p.showWeigh(r, page.NewForm(r.Request.URL.Query()), false, page.Show)
}

func (p place) showWeigh(r *page.Request, f *page.Form, twice bool, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	v := weighPage{Frame: r.Frame("Weigh back"), Path: "/today/bench/" + r.Param("machine"), Twice: twice}
	v.Bench = true
	v.Head = page.Head{Place: r.Param("machine"), Answer: "Weigh a spool back", Note: "From then on it holds what the scale says. Put it on the scale with its spool."}
	if code := f.Get("spool"); code != "" {
		v.Head.Answer = "Weigh spool " + code + " back"
	}
	for _, name := range []string{"done", "weighed"} {
		v.Hidden = append(v.Hidden, page.Pair{Name: name, Value: f.Get(name)})
	}
	unit := r.Units().MassUnit()
	spool := f.Field("spool", "Spool").Required().Scanned().Hinted("Scan its label.")
	gross := f.Field("gross_g", "The scale says").Required().Number(unit)
	gross.Large = true
	if spool.Value != "" {
		spool.Focus, gross.Focus = false, !twice
	}
	v.Fields = []page.Field{spool, gross}
	if twice {
		second := f.Field("second_g", "The second time it says").Number(unit)
		second.Large, second.Focus = true, true
		v.Fields = append(v.Fields, second)
		if r.May(workshop.Lead) {
			v.Fields = append(v.Fields, f.Field("confirm", "I have looked: the scale is right").Check())
		}
	}
	v.Fields = append(v.Fields, f.Field("note", "Note"))
	v.Faults = f.Said(v.Fields...)
	return as(weighTemplate, v), nil
}

func (p place) weigh(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	in := workshop.Weigh{Spool: stock.SpoolCode(f.Get("spool")), Note: f.Get("note"), Confirmed: f.Get("confirm") == "yes", Key: f.Get("key")}
	in.Gross = page.Read(f, "gross_g", r.Units().ParseMass)
	twice := f.Values.Has("second_g")
	if f.Get("second_g") != "" {
		second := page.Read(f, "second_g", func(text string) (measure.Mass, error) { return r.Units().ParseMass(text) })
		in.Second = &second
	}
	if in.Spool == "" {
		f.Mark("spool", errors.New("is needed: scan the label"))
	}
	if !f.OK() {
		return p.showWeigh(r, f, twice, page.Refused)
	}
	out, err := p.shop.Weigh(r.Ctx(), in)
	if err != nil {
		twice = twice || errors.Is(err, stock.ErrUnconfirmed)
		if err := f.Refuse(err); err != nil {
			return page.Reply{}, err
		}
		return p.showWeigh(r, f, twice, page.Refused)
	}
	text := fmt.Sprintf("Spool %s holds %s now.", out.Spool.Code, r.Units().Mass(out.Spool.Mass))
	for _, s := range out.Short {
		text += fmt.Sprintf(" Batch %s loses %s that it was promised.", s.Batch, r.Units().Mass(s.Mass))
	}
	to := "/today/bench/" + r.Param("machine")
	return r.Back(to+stillOff(f, out.Spool.Code), page.Done(text).Undoing(to+"/unweigh", "movement", strconv.FormatInt(int64(out.Movement.ID), 10)), nil)
}

// stillOff goes on with the batch that was done, to weigh what else comes off.
func stillOff(f *page.Form, weighed stock.SpoolCode) string {
	done := f.Get("done")
	if done == "" {
		return ""
	}
	return "?" + url.Values{"done": {done}, "weighed": {strings.TrimPrefix(f.Get("weighed")+","+string(weighed), ",")}}.Encode()
}

func (p place) unweigh(r *page.Request) (page.Reply, error) {
	id, err := strconv.ParseInt(r.PostForm("movement"), 10, 64)
	if err != nil {
		return page.Reply{}, problem.ErrMalformed
	}
	out, err := p.shop.UndoWeighing(r.Ctx(), stock.MovementID(id))
	return r.Back("/today/bench/"+r.Param("machine"), page.Done(fmt.Sprintf("Taken back: spool %s holds %s again.", out.Spool.Code, r.Units().Mass(out.Spool.Mass))), err)
}
