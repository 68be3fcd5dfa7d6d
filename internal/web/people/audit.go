package people

import (
	"net/url"
	"strconv"

	"windingroom/internal/calendar"
	"windingroom/internal/problem"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// entriesOnPage of the audit.
const entriesOnPage = 50

// auditPage answers who did what, when, why and through which door.
type auditPage struct {
	page.Frame
	Tabs    []page.Tab
	Head    page.Head
	Fields  []page.Field
	Entries page.Table
	Newest  string // address of the newest entries; empty on their page
	Older   string // address of the entries before these; empty where there are none
}

func (p place) audit(r *page.Request) (page.Reply, error) {
	query := r.Request.URL.Query()
	q, err := auditQuery(query)
	if err != nil {
		return page.Reply{}, err
	}
	entries, more, err := p.shop.Audit(r.Ctx(), q)
	if err != nil {
		return page.Reply{}, err
	}
	v := auditPage{Frame: r.Frame("Audit"), Tabs: tabs(r, "/audit"), Entries: page.Plain("entries", "The newest first", auditColumns(r), entries)}
	v.Entries.Empty = page.Empty{Title: "Nothing is noted here", Text: "Look for another person, subject or day."}
	v.Head = page.Head{Place: "People", Answer: "What was done", Note: "Every write, with person, time, subject, reason and door. Nothing here is ever changed or removed."}
	f := page.NewForm(query)
	v.Fields = []page.Field{f.Field("person", "Person"), f.Field("subject", "Spool, order, batch, day"), f.Field("day", "Day").Date()}
	if q.Before != 0 {
		v.Newest = auditPath(query, 0)
	}
	if more {
		v.Older = auditPath(query, entries[len(entries)-1].ID)
	}
	return page.Show(auditTemplate, v), nil
}

func auditQuery(query url.Values) (q workshop.AuditQuery, err error) {
	q = workshop.AuditQuery{Person: query.Get("person"), Subject: query.Get("subject"), Most: entriesOnPage}
	if text := query.Get("day"); text != "" {
		if q.Day, err = calendar.ParseDate(text); err != nil {
			return q, problem.At("day", err)
		}
	}
	if text := query.Get("before"); text != "" {
		if q.Before, err = strconv.ParseInt(text, 10, 64); err != nil || q.Before < 0 {
			return q, problem.Invalid{{Location: "before", Message: "is not the number of an entry"}}
		}
	}
	return q, nil
}

// auditPath keeps the filter of a query and goes on before an entry.
func auditPath(query url.Values, before int64) string {
	kept := url.Values{}
	for _, name := range []string{"person", "subject", "day"} {
		if v := query.Get(name); v != "" {
			kept.Set(name, v)
		}
	}
	if before != 0 {
		kept.Set("before", strconv.FormatInt(before, 10))
	}
	if len(kept) == 0 {
		return "/audit"
	}
	return "/audit?" + kept.Encode()
}

func auditColumns(r *page.Request) []page.Column[workshop.AuditEntry] {
	return []page.Column[workshop.AuditEntry]{
		{Head: "When", Cell: func(e workshop.AuditEntry) page.Cell { return page.Text(r.Units().Moment(e.At)) }},
		{Head: "Who", Cell: func(e workshop.AuditEntry) page.Cell {
			return page.Cell{Text: e.Person, Href: "/audit?person=" + escape(e.Person), Note: through(e.Source)}
		}},
		{Head: "Did", Cell: func(e workshop.AuditEntry) page.Cell { return page.Text(e.Action) }},
		{Head: "To", Cell: func(e workshop.AuditEntry) page.Cell {
			return page.Cell{Text: e.Subject, Href: "/audit?subject=" + escape(e.Subject), Code: true}
		}},
		{Head: "What and why", Cell: func(e workshop.AuditEntry) page.Cell { return page.Text(e.Detail) }},
	}
}

func through(source string) string {
	if source == "" {
		return ""
	}
	return "by " + source
}

func escape(text string) string { return url.QueryEscape(text) }
