package books

import (
	"html/template"
	"slices"

	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// historyPage answers whether a month is closed, by whom, and whether it ever was opened again.
type historyPage struct {
	monthPage
	Faults page.Faults
	Hash   string // whole; empty while it is open
	Reason *page.Field
	Reopen string // address; empty where it cannot be opened again, or not by who looks
	Past   page.Table
}

func (p place) history(r *page.Request) (page.Reply, error) {
	return p.showHistory(r, page.NewForm(nil), page.Show)
}

func (p place) showHistory(r *page.Request, f *page.Form, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	m, err := monthOf(r)
	if err != nil {
		return page.Reply{}, err
	}
	next, err := p.shop.NextClosing(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	months, err := p.shop.Months(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	here := workshop.Month{Month: m}
	if i := slices.IndexFunc(months, func(o workshop.Month) bool { return o.Month == m }); i >= 0 {
		here = months[i]
	}
	v := historyPage{monthPage: monthPage{Frame: r.Frame("Closing of " + named(m)), Tabs: monthTabs(r, m, "/history")}}
	v.Head = historyHead(r, here, next)
	if next.Month == m && next.Ready() {
		v.Acts = []page.Action{closing(m)}
	}
	if here.Closed != nil {
		v.Hash = here.Closed.Hash
	}
	if next.Last != nil && next.Last.Month == m && r.May() {
		reason := f.Field("reason", "Reason").Required().Hinted("It is kept for ever beside the figures that the month was closed with.")
		v.Reason, v.Reopen = &reason, monthPath(m)+"/reopen"
		v.Faults = f.Said(reason)
	}
	slices.Reverse(here.Closings)
	v.Past = page.Plain("past", "What was done, the newest first", pastColumns(r), here.Closings)
	v.Past.Empty = page.Empty{Title: "It was never closed", Text: "Each closing and each reopening stands here, with its hash."}
	return as(historyTemplate, v), nil
}

func historyHead(r *page.Request, m workshop.Month, next workshop.Outlook) page.Head {
	h := page.Head{Place: "Books"}
	switch {
	case m.Closed != nil:
		h.Answer = named(m.Month) + " is closed"
		h.Note = "By " + m.Closed.ClosedBy + " on " + r.Units().Moment(m.Closed.ClosedAt) + ". What turns out wrong in it is corrected in the open month."
	case m.Before:
		h.Answer = named(m.Month) + " is closed with a later month"
	case next.Month == m.Month:
		h = outlookHead(r, next)
	default:
		h.Answer = named(m.Month) + " is open"
		if next.Month != 0 && next.Month < m.Month {
			h.Note = "Months close in their order: " + named(next.Month) + " comes first."
		}
	}
	return h
}

func pastColumns(r *page.Request) []page.Column[workshop.Closing] {
	return []page.Column[workshop.Closing]{
		{Head: "When", Cell: func(c workshop.Closing) page.Cell { return page.Text(r.Units().Moment(c.At)) }},
		{Head: "What", Cell: func(c workshop.Closing) page.Cell {
			if c.Act == workshop.Reopened {
				return page.Cell{Tags: []page.Tag{{Text: "opened again", Tone: page.Wait}}}
			}
			return page.Cell{Tags: []page.Tag{{Text: "closed", Tone: page.Good}}}
		}},
		{Head: "Who", Cell: func(c workshop.Closing) page.Cell { return page.Text(c.Person) }},
		{Head: "Why", Cell: func(c workshop.Closing) page.Cell { return page.Text(c.Reason) }},
		{Head: "Hash of the figures", Cell: func(c workshop.Closing) page.Cell { return page.Code(shortHash(c.Hash), "") }},
	}
}
