package wire

import (
	"html/template"
	"regexp"
	"strconv"
	"strings"

	"windingroom/internal/stock"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// spoolPage is one spool: what it holds and for whom, what may be done with it, and everything that happened to it.
type spoolPage struct {
	page.Frame
	Tabs      []page.Tab
	Head      page.Head
	Tags      []page.Tag
	Fill      *page.Fill
	Facts     []page.Fact
	Acts      []page.Action
	Forms     []spoolForm
	Holders   page.Table
	Movements page.Table
}

func (p place) spool(r *page.Request) (page.Reply, error) {
	return p.showSpool(r, "", page.NewForm(nil), page.Show)
}

// showSpool shows a spool; f is the form of the act that was refused.
func (p place) showSpool(r *page.Request, act string, f *page.Form, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	s, err := p.shop.SpoolStory(r.Ctx(), stock.SpoolCode(r.Param("spool")))
	if err != nil {
		return page.Reply{}, err
	}
	u, b := r.Units(), s.Spool
	v := spoolPage{Frame: r.Frame(string(b.Code)), Tabs: tabs(r, ""), Tags: spoolTags(b), Fill: fillOf(u, b), Facts: spoolFacts(r, s), Forms: spoolForms(r, s, act, f)}
	v.Head = page.Head{Place: "Wire", Answer: string(b.Code) + ": " + u.Mass(b.Free()).String() + " free",
		Note: string(b.Wire) + ", " + s.AlloyName + ", " + formText(u, s.Wire.Form)}
	v.Acts = []page.Action{{Text: "Weigh", To: weighPath(b.Code)}, page.Link("Label", labelPath(b.Code)), page.Link("Trace its lot", lotPath(b.Lot))}
	v.Holders = page.Plain("holders", "Batches that hold wire of it", []page.Column[workshop.Holder]{
		{Head: "Batch", Cell: func(h workshop.Holder) page.Cell { return page.Code(string(h.Batch), dayPath(h.Date, string(h.Batch))) }},
		{Head: "Day", Cell: func(h workshop.Holder) page.Cell { return page.Text(u.Date(h.Date)) }},
		{Head: "Machine", Cell: func(h workshop.Holder) page.Cell { return page.Text(string(h.Machine)) }},
		{Head: "Holds, " + u.MassUnit(), Number: true, Cell: func(h workshop.Holder) page.Cell { return massCell(u, h.Mass) }},
	}, s.Holders)
	v.Movements = page.Plain("movements", "What went on and off it, the last first", movementColumns(r, s), s.Events)
	return as(spoolTemplate, v), nil
}

func spoolFacts(r *page.Request, s workshop.SpoolStory) []page.Fact {
	u, b := r.Units(), s.Spool
	tare := u.Mass(b.Tare).String()
	if b.Type != "" {
		tare += ", of spools of type " + b.Type
	}
	weighed := "never since it was received"
	if !s.Weighed.IsZero() {
		weighed = u.Moment(s.Weighed)
	}
	facts := []page.Fact{
		{Term: "On hand", Text: u.Mass(b.Mass).String() + " ± " + u.Mass(s.Uncertainty).String()},
		{Term: "Allocated to batches", Text: u.Mass(b.Allocated).String()},
		{Term: "Place", Text: placeText(b)},
		{Term: "Last weighed", Text: weighed},
		{Term: "Wire", Text: string(b.Wire), Href: wirePath(b.Wire)},
		{Term: "Lot", Text: b.Lot, Href: lotPath(b.Lot)},
		{Term: "Received", Text: u.Date(b.ReceivedOn) + ", " + u.Mass(b.Net()).String()},
		{Term: "Tare (empty spool)", Text: tare, Href: "/wire/tares"},
		{Term: "Usable end", Text: u.Mass(b.UsableEnd).String()},
	}
	if prices(r) {
		facts = append(facts, page.Fact{Term: "Value on hand", Text: u.Money(s.Currency, b.Value).String()})
	}
	return facts
}

func movementColumns(r *page.Request, s workshop.SpoolStory) []page.Column[workshop.SpoolEvent] {
	type event = workshop.SpoolEvent
	u := r.Units()
	columns := []page.Column[event]{
		{Head: "When", Cell: func(e event) page.Cell {
			return page.Cell{Text: u.Moment(e.EffectiveAt), Note: "no. " + strconv.Itoa(int(e.ID))}
		}},
		{Head: "What", Cell: func(e event) page.Cell {
			c := page.Cell{Text: kindText(e)}
			if e.TakenBack != 0 {
				c.Tags = []page.Tag{{Text: "taken back by no. " + strconv.Itoa(int(e.TakenBack)), Tone: page.Wait}}
			}
			if w := e.Weighing; w != nil {
				c.Note = weighingNote(u, *w)
				if w.Noise {
					c.Tags = append(c.Tags, page.Tag{Text: "noise"})
				}
			}
			return c
		}},
		{Head: "On or off, " + u.MassUnit(), Number: true, Cell: func(e event) page.Cell { return massCell(u, e.Mass) }},
		{Head: "Left, " + u.MassUnit(), Number: true, Cell: func(e event) page.Cell { return massCell(u, e.After) }},
	}
	if prices(r) {
		columns = append(columns, page.Column[event]{Head: "Cost, " + string(s.Currency), Number: true, Cell: func(e event) page.Cell {
			return page.Text(u.Money(s.Currency, e.Cost).Number)
		}})
	}
	return append(columns,
		page.Column[event]{Head: "Who and why", Cell: func(e event) page.Cell { return page.Cell{Text: e.Person, Note: e.Reason} }},
		page.Column[event]{Head: "Source", Cell: sourceCell})
}

// kindText names a movement as people say it.
func kindText(e workshop.SpoolEvent) string {
	switch e.Kind {
	case stock.WeighBack:
		return "weigh-back"
	case stock.CountDifference:
		return "count"
	case stock.Reversal:
		return "taken back: no. " + strconv.Itoa(int(e.Reverses))
	}
	return string(e.Kind)
}

// weighingNote tells what a scale said beside what the books said.
func weighingNote(u units.Units, w workshop.Weighing) string {
	said := "net " + u.Mass(w.Net).String() + " where the books had " + u.Mass(w.Book).String() + ", ± " + u.Mass(w.Uncertainty).String()
	if bearers := bearersText(u, w.Shares); bearers != "" {
		said += "; charged to " + bearers
	}
	if w.Surprise != stock.NoSurprise {
		said += "; " + string(w.Surprise) + ", confirmed"
	}
	return said
}

// bearersText lists who bears a difference.
func bearersText(u units.Units, shares []stock.Share) string {
	var list []string
	for _, s := range shares {
		if s.Source != "" && s.Mass != 0 {
			list = append(list, s.Source+" ("+u.Mass(s.Mass).String()+")")
		}
	}
	return strings.Join(list, ", ")
}

var deliverySource = regexp.MustCompile(`^delivery (\S+)$`)

// sourceCell leads to the document behind a movement.
func sourceCell(e workshop.SpoolEvent) page.Cell {
	if b := e.Batch(); b != "" {
		return page.Cell{Text: e.Source, Href: dayPath(e.EffectiveOn, b)}
	}
	if m := deliverySource.FindStringSubmatch(e.Source); m != nil {
		return page.Cell{Text: e.Source, Href: deliveryPath(m[1])}
	}
	return page.Text(e.Source)
}
