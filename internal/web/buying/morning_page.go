package buying

import (
	"cmp"
	"fmt"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/replenishment"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// morningPage answers the owner's question: what do we order today, from whom, how much, why, by when, and what happens if not?
type morningPage struct {
	page.Frame
	Tabs     []page.Tab
	Head     page.Head
	None     page.Empty // before the first night
	Checked  bool
	Acts     []page.Action
	Stats    []page.Stat
	Ideas    []ideaView
	Faults   page.Faults
	Alerts   []alertView // that nobody has answered, the most urgent first
	Answered []alertView
	Risks    page.Table
}

// ideaView is what the night asks for from one supplier.
type ideaView struct {
	Supplier string
	Due      page.Tag
	Total    string
	Note     string // why it stays below the supplier's minimum; empty where it does not
	State    string // of the purchase that answers it
	Count    string
	Lines    page.Table
	Acts     []page.Action
}

type alertView struct {
	Wire, Href string
	Level      string
	Short      bool   // only its head shows at first
	Out        string // in the head of a short one
	Tag        page.Tag
	Why        string
	Facts      []page.Fact
	AtRisk     []page.Fact // orders, each a link
	Changed    string
	Answer     string
	Returned   string
	CanAnswer  bool
	Fields     []page.Field
}

var levelTags = map[replenishment.Level]page.Tag{
	replenishment.None:  {Text: "enough", Tone: page.Good},
	replenishment.Watch: {Text: "watch"},
	replenishment.Order: {Text: "order", Tone: page.Wait},
	replenishment.Late:  {Text: "late", Tone: page.Wrong},
}

func noNight(r *page.Request) morningPage {
	v := morningPage{Frame: r.Frame("Buying"), Tabs: tabs(r, "/buying"), Head: page.Head{Place: "Buying", Answer: "No nightly check has run yet"}}
	v.None = page.Empty{Text: "The check reads stock, open orders, use and purchases, and says here what to order, from whom, how much and by when. It runs every night.",
		Command: "windingroom night", Actions: []page.Action{page.Button("Check now", "/buying/night")}}
	return v
}

func newMorning(r *page.Request, n workshop.NightReport, open []workshop.PurchaseStory, f *page.Form) morningPage {
	u, today := r.Units(), r.Site.Today()
	v := morningPage{Frame: r.Frame("Buying"), Tabs: tabs(r, "/buying"), Checked: true}
	m := n.Morning(open)
	v.Head = page.Head{Place: "Buying", Answer: toDo(m), Note: fmt.Sprintf("The night of %s, checked on %s by %s.", u.LongDate(n.Date), u.Moment(n.RanAt), n.RanBy)}
	if n.Date < today {
		v.Head.Note += " That is not today: stock and orders may have moved since."
		v.Acts = append(v.Acts, page.Button("Check again now", "/buying/night").As("second"))
	}
	risks := replenishment.OrdersAtRisk(n.Wires)
	v.Stats = stats(n, risks)
	var unproposed bool
	for _, idea := range n.Ideas(open) {
		unproposed = unproposed || idea.Code == ""
		v.Ideas = append(v.Ideas, newIdea(r, idea, n))
	}
	if unproposed && mayBuy(r) {
		v.Acts = append(v.Acts, page.Button("Propose these purchases", "/buying/purchases"))
	}
	for _, w := range n.Alerts() {
		a := newAlert(r, w, n)
		if answer, ok := n.Answers[w.Wire]; ok {
			a.answered(answer, u)
			v.Answered = append(v.Answered, a)
			continue
		}
		if mayBuy(r) {
			a.CanAnswer, a.Fields = true, answerFields(f, a.Wire, today)
			if material.WireCode(f.Get("wire")) == w.Wire {
				v.Faults = f.Said(a.Fields...)
			}
		}
		v.Alerts = append(v.Alerts, a)
	}
	if len(v.Faults.Other) == 0 && !v.Faults.Any() {
		v.Faults = f.Said()
	}
	v.Risks = page.Plain("risk", "Orders at risk", riskColumns(r), risks)
	return v
}

// toDo is the morning in one sentence.
func toDo(m workshop.Morning) string {
	text := "Nothing to order today"
	switch {
	case m.Wires > 0:
		text = fmt.Sprintf("Order %s from %s today", page.Plural(m.Wires, "wire", "wires"), page.Plural(m.Suppliers, "supplier", "suppliers"))
	case m.Sent > 0:
		text = "All that the night asks for is ordered"
	}
	if m.Late > 0 {
		text += fmt.Sprintf("; %d %s late", m.Late, cmp.Or(map[bool]string{true: "is"}[m.Late == 1], "are"))
	}
	return text
}

func stats(n workshop.NightReport, risks []replenishment.OrderAtRisk) []page.Stat {
	counts := levels(n)
	stat := func(level replenishment.Level, label, note string, tone page.Tone) page.Stat {
		s := page.Stat{Label: label, Number: fmt.Sprint(counts[level]), Note: note, Href: "/buying/wires?level=" + string(level)}
		if counts[level] > 0 {
			s.Tone = tone
		}
		return s
	}
	all := []page.Stat{stat(replenishment.Late, "Late", "run out before they can come", page.Wrong), stat(replenishment.Order, "To order", "below their order point", page.Wait),
		stat(replenishment.Watch, "To watch", "to be ordered soon", "")}
	orders := page.Stat{Label: "Orders at risk", Number: fmt.Sprint(len(risks)), Note: "wire does not reach"}
	if len(risks) > 0 {
		orders.Href, orders.Tone = "#risk", page.Wrong
	}
	return append(all, orders)
}

func levels(n workshop.NightReport) map[replenishment.Level]int {
	counts := map[replenishment.Level]int{}
	for _, w := range n.Wires {
		counts[w.Alert]++
	}
	return counts
}

// counted says how many wires stand at each level.
func counted(n workshop.NightReport) string {
	counts := levels(n)
	return fmt.Sprintf("%d late, %d to order, %d to watch, of %s", counts[replenishment.Late], counts[replenishment.Order], counts[replenishment.Watch],
		page.Plural(len(n.Wires), "wire", "wires"))
}

func newIdea(r *page.Request, idea workshop.Idea, n workshop.NightReport) ideaView {
	u := r.Units()
	v := ideaView{Supplier: idea.Supplier, Total: u.Money(n.Currency, idea.Total).String(), Note: page.Reworded(u, idea.Note), Count: page.Plural(len(idea.Lines), "wire", "wires")}
	if idea.Freight > 0 {
		v.Total += fmt.Sprintf(", %s of it freight", u.Money(n.Currency, idea.Freight))
	}
	v.Due = page.Tag{Text: due(idea.OrderBy, n.Date, u), Tone: page.Wait}
	if idea.OrderBy < n.Date {
		v.Due.Tone = page.Wrong
	}
	switch {
	case idea.Sent():
		v.Due = page.Tag{Text: "ordered", Tone: page.Good}
		v.Acts = []page.Action{page.Link("See "+string(idea.Code), purchasePath(idea.Code))}
	case idea.Code != "":
		v.State = "Proposed, not sent yet."
		v.Acts = []page.Action{{Text: "Look at " + string(idea.Code) + " and send it", To: purchasePath(idea.Code)}}
	case mayBuy(r):
		v.Acts = []page.Action{page.Button("Propose only this one", "/buying/purchases", "supplier", idea.Supplier).As("second")}
	}
	v.Lines = page.Plain("lines-"+idea.Supplier, "What to order from "+idea.Supplier, []page.Column[replenishment.Line]{
		{Head: "Wire", Cell: func(l replenishment.Line) page.Cell { return page.Code(string(l.Wire), wirePath(l.Wire)) }},
		{Head: "Packs", Number: true, Cell: func(l replenishment.Line) page.Cell { return page.Text(u.Count(l.Packs)) }},
		{Head: u.BulkUnit(), Number: true, Cell: func(l replenishment.Line) page.Cell { return page.Text(u.Bulk(l.Mass).Number) }},
		{Head: "Cost, " + string(n.Currency), Number: true, Cell: func(l replenishment.Line) page.Cell { return page.Text(u.Money(n.Currency, l.Cost).Number) }},
		{Head: "Why", Cell: func(l replenishment.Line) page.Cell { return page.Text(l.Reason()) }},
	}, idea.Lines)
	return v
}

// due says by when to order, as of the night.
func due(by, night calendar.Date, u units.Units) string {
	if by > night {
		return "order by " + u.ShortDate(by)
	}
	return replenishment.Due(by, night)
}

func newAlert(r *page.Request, w replenishment.WireNight, n workshop.NightReport) alertView {
	u := r.Units()
	v := alertView{Wire: string(w.Wire), Href: wirePath(w.Wire), Level: string(w.Alert), Tag: levelTags[w.Alert], Why: page.Reworded(r.Units(), w.Why), Changed: page.Reworded(r.Units(), w.Changed)}
	v.Facts = outFacts(w, u)
	v.Short, v.Out = w.Alert != replenishment.Late, v.Facts[0].Text
	if !w.OrderBy.IsZero() {
		f := page.Fact{Term: "Order by", Text: u.Date(w.OrderBy)}
		if w.OrderBy < r.Site.Today() {
			f.Text, f.Tone = f.Text+" (past)", page.Wrong
		}
		v.Facts = append(v.Facts, f)
	}
	for _, p := range n.Purchases {
		for _, l := range p.Lines {
			if l.Wire == w.Wire {
				v.Facts = append(v.Facts, page.Fact{Term: "Order", Text: fmt.Sprintf("%s, %s, from %s", page.Plural(l.Packs, "pack", "packs"), u.Bulk(l.Mass), p.Supplier)})
			}
		}
	}
	for _, code := range w.AtRisk {
		v.AtRisk = append(v.AtRisk, page.Fact{Text: string(code), Href: orderPath(r, string(code))})
	}
	return v
}

// outFacts are the day on which a wire runs out, and its band.
func outFacts(w replenishment.WireNight, u units.Units) []page.Fact {
	all := []page.Fact{{Term: "Runs out", Text: cmp.Or(u.Date(w.RunOut), "not within a year")}}
	if band := between(w, u); band != "" {
		all = append(all, page.Fact{Term: "That may be", Text: band})
	}
	return all
}

// between is the band of the day on which a wire runs out; empty where it is one day.
func between(w replenishment.WireNight, u units.Units) string {
	soon, late := w.RunOutSoon, w.RunOutLate
	switch {
	case soon == late:
		return ""
	case late.IsZero():
		return "from " + u.ShortDate(soon) + " on"
	}
	return u.ShortDate(soon) + " to " + u.ShortDate(late)
}

// runsOut is the day with its band, in a line.
func runsOut(w replenishment.WireNight, u units.Units) string {
	text := cmp.Or(u.Date(w.RunOut), "not within a year")
	if band := between(w, u); band != "" {
		text += "; it may be " + band
	}
	return text
}

func (v *alertView) answered(a workshop.AlertAnswer, u units.Units) {
	v.Answer = fmt.Sprintf("%s, %s: %s", a.Person, u.Moment(a.At), a.Reason)
	v.Returned = "Comes back when it rises."
	if !a.Until.IsZero() {
		v.Returned = fmt.Sprintf("Comes back on %s, or when it rises.", u.Date(a.Until))
	}
}

// answerFields are those of one alert's form; what was typed for another does not show in it.
func answerFields(f *page.Form, wire string, today calendar.Date) []page.Field {
	if f.Get("wire") != wire {
		f = page.NewForm(nil)
	}
	until := f.Field("until", "Comes back on").Date().Hinted("Empty: only when it rises.").Unique(wire)
	until.Min = (today + 1).String()
	return []page.Field{f.Field("reason", "Reason").Required().Unique(wire), until}
}

func riskColumns(r *page.Request) []page.Column[replenishment.OrderAtRisk] {
	return []page.Column[replenishment.OrderAtRisk]{
		{Head: "Order", Cell: func(o replenishment.OrderAtRisk) page.Cell {
			return page.Code(string(o.Order), orderPath(r, string(o.Order)))
		}},
		{Head: "For want of", Cell: func(o replenishment.OrderAtRisk) page.Cell {
			var c page.Cell
			for _, w := range page.Texts(o.Wires) {
				c.Tags = append(c.Tags, page.Tag{Text: w})
			}
			return c
		}},
	}
}
