package books

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"windingroom/internal/costing"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// periodsPage answers whether the next month can be closed.
type periodsPage struct {
	page.Frame
	Tabs    []page.Tab
	Head    page.Head
	Acts    []page.Action
	Against []obstacle // to closing the next month
	Months  page.Table
	Years   []yearFiles

	Waiting  []page.Action // a file that is being written, or is ready
	Verified string
}

// obstacle is one thing that stands against closing a month, and what to do about it.
type obstacle struct {
	What string
	Do   string
	Each []page.Fact
}

// yearFiles are the files of a year's books.
type yearFiles struct {
	Year string
	Acts []page.Action
}

func (p place) periods(r *page.Request) (page.Reply, error) {
	next, err := p.shop.NextClosing(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	months, err := p.shop.Months(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	v := periodsPage{Frame: r.Frame("Books"), Tabs: tabs(r, "/books"), Head: outlookHead(r, next), Against: obstacles(r, next)}
	if next.Ready() {
		v.Acts = append(v.Acts, closing(next.Month))
	}
	if next.Month != 0 {
		v.Acts = append(v.Acts, page.Link("Look at "+named(next.Month), monthPath(next.Month)))
	}
	v.Months = page.NewTable(r.Request.URL.Query(), monthsSpec(r, months), withNext(months, next.Month))
	v.Years, v.Waiting = years(months), p.waiting(r)
	if !next.VerifiedAt.IsZero() {
		v.Verified = "All that is kept was verified at " + r.Units().Clock(next.VerifiedAt) + "; closing verifies it again."
	}
	return page.Show(periodsTemplate, v), nil
}

// withNext adds the month that is closed next where nothing moved in it yet.
func withNext(months []workshop.Month, next costing.Period) []workshop.Month {
	i, found := slices.BinarySearchFunc(months, next, func(m workshop.Month, p costing.Period) int { return int(p - m.Month) })
	if found || next == 0 {
		return months
	}
	return slices.Insert(slices.Clone(months), i, workshop.Month{Month: next})
}

// outlookHead is the answer of the place.
func outlookHead(r *page.Request, o workshop.Outlook) page.Head {
	h := page.Head{Place: "Books"}
	month := named(o.Month)
	switch {
	case o.Month == 0:
		h.Answer = "There are no books yet"
		h.Note = "They begin with the first wire that comes in."
	case o.Ready():
		h.Answer = month + " is ready to close: all " + strconv.Itoa(len(o.Checks)) + " checks 0"
	case o.Over:
		h.Answer = month + " cannot close yet: " + strings.Join(against(o), ", ")
	case o.Last != nil:
		h.Answer = "Everything is closed up to " + named(o.Last.Month)
		h.Note = month + " can be closed from " + r.Units().Date(o.From) + "; so far " + soFar(o) + "."
	default:
		h.Answer = month + " is not over before " + r.Units().Date(o.From)
		h.Note = "So far " + soFar(o) + "."
	}
	if n := len(o.Behind); n > 0 {
		h.Note = page.Plural(n, "more month waits", "more months wait") + " behind it, up to " + named(o.Behind[n-1]) + ": months close in their order."
	}
	return h
}

// against names what stands against closing, in a few words each.
func against(o workshop.Outlook) (all []string) {
	if n := len(o.Batches); n > 0 {
		all = append(all, page.Plural(n, "batch", "batches")+" without a result")
	}
	if n := len(o.Off()); n > 0 {
		all = append(all, page.Plural(n, "check differs", "checks differ"))
	}
	if n := len(o.Broken); n > 0 {
		all = append(all, page.Plural(n, "thing is broken", "things are broken"))
	}
	return all
}

func soFar(o workshop.Outlook) string {
	if all := against(o); len(all) > 0 {
		return strings.Join(all, ", ")
	}
	return "all " + strconv.Itoa(len(o.Checks)) + " checks are 0"
}

// mostNamed of one kind of obstacle.
const mostNamed = 12

func obstacles(r *page.Request, o workshop.Outlook) (all []obstacle) {
	if n := len(o.Batches); n > 0 {
		each := obstacle{What: page.Plural(n, "batch is", "batches are") + " released without a last result",
			Do: "The winding-room lead posts what was wound, or takes them back."}
		for _, b := range o.Batches[:min(n, mostNamed)] {
			each.Each = append(each.Each, page.Fact{Term: r.Units().ShortDate(b.Date) + ", " + string(b.Machine), Text: string(b.Code), Href: "/batches/" + url.PathEscape(string(b.Code))})
		}
		all = append(all, each.more(n))
	}
	if off := o.Off(); len(off) > 0 {
		each := obstacle{What: page.Plural(len(off), "check differs", "checks differ"), Do: "Open the month's checks: each names what was held against what."}
		for _, c := range off {
			each.Each = append(each.Each, page.Fact{Term: "Check", Text: c.What, Href: monthPath(o.Month) + "/checks", Tone: page.Wrong})
		}
		all = append(all, each)
	}
	if n := len(o.Broken); n > 0 {
		each := obstacle{What: page.Plural(n, "invariant does", "invariants do") + " not hold", Do: "Whoever looks after the service runs windingroom verify."}
		for _, d := range o.Broken[:min(n, mostNamed)] {
			each.Each = append(each.Each, page.Fact{Term: d.Subject, Text: d.Invariant + ": " + d.Detail, Tone: page.Wrong})
		}
		all = append(all, each.more(n))
	}
	return all
}

// more says how many are not named.
func (o obstacle) more(n int) obstacle {
	if left := n - len(o.Each); left > 0 {
		o.Each = append(o.Each, page.Fact{Term: "and", Text: fmt.Sprintf("%d more", left)})
	}
	return o
}

// closing is the act that closes a month, saying what will happen.
func closing(m costing.Period) page.Action {
	return page.Button("Close "+named(m), monthPath(m)+"/close").Asking(
		"The figures of " + named(m) + " are frozen, with a hash over them and every movement. Nothing posts into it or into a month before it any more; what turns out wrong later is corrected in the open month. Only an owner can open it again, with a reason that is kept.")
}

// open says whether movements may still go into a month.
func open(m workshop.Month) bool { return m.Closed == nil && !m.Before }

func reopenings(m workshop.Month) (n int) {
	for _, c := range m.Closings {
		if c.Act == workshop.Reopened {
			n++
		}
	}
	return n
}

// shortHash is enough of a hash to compare by eye; the month's page has all of it.
func shortHash(hash string) string { return hash[:min(len(hash), 12)] }

func monthsSpec(r *page.Request, months []workshop.Month) page.Spec[workshop.Month] {
	s := page.Spec[workshop.Month]{ID: "months", Caption: "Months", Path: "/books", Size: 36,
		Empty: page.Empty{Title: "No month yet", Text: "A month stands here once wire moved in it."},
		Choices: []page.Choice[workshop.Month]{{Key: "state", Label: "State", Options: []page.Option{{Value: "open", Text: "Open"}, {Value: "closed", Text: "Closed"}},
			Keep: func(m workshop.Month, v string) bool { return open(m) == (v == "open") }}},
		Columns: []page.Column[workshop.Month]{
			{Key: "month", Head: "Month", Cell: func(m workshop.Month) page.Cell { return page.Cell{Text: named(m.Month), Href: monthPath(m.Month)} },
				Compare: func(a, b workshop.Month) int { return int(a.Month - b.Month) }},
			{Key: "state", Head: "State", Cell: func(m workshop.Month) page.Cell { return page.Cell{Tags: []page.Tag{state(m)}} }},
			{Key: "closed", Head: "Closed", Cell: func(m workshop.Month) page.Cell {
				if m.Closed == nil {
					return page.Cell{}
				}
				return page.Cell{Text: r.Units().Moment(m.Closed.ClosedAt), Note: "by " + m.Closed.ClosedBy}
			}},
			{Key: "hash", Head: "Hash", Cell: func(m workshop.Month) page.Cell {
				if m.Closed == nil {
					return page.Cell{}
				}
				return page.Code(shortHash(m.Closed.Hash), monthPath(m.Month)+"/history")
			}},
			{Key: "reopened", Head: "Opened again", Cell: func(m workshop.Month) page.Cell {
				n := reopenings(m)
				if n == 0 {
					return page.Cell{}
				}
				return page.Cell{Text: page.Plural(n, "time", "times"), Href: monthPath(m.Month) + "/history", Note: lastReason(m)}
			}},
			{Key: "workbook", Head: "Workbook", Cell: func(m workshop.Month) page.Cell {
				get := export{of: m.Month.String(), from: m.Month, to: m.Month}.button("Get").As("quiet")
				return page.Cell{Act: &get}
			}},
		}}
	if !slices.ContainsFunc(months, func(m workshop.Month) bool { return reopenings(m) > 0 }) {
		s.Columns = slices.DeleteFunc(s.Columns, func(c page.Column[workshop.Month]) bool { return c.Key == "reopened" })
	}
	return s
}

func state(m workshop.Month) page.Tag {
	switch {
	case m.Closed != nil:
		return page.Tag{Text: "closed", Tone: page.Good}
	case m.Before:
		return page.Tag{Text: "closed with a later one", Tone: page.Good}
	}
	return page.Tag{Text: "open", Tone: page.Wait}
}

func lastReason(m workshop.Month) (reason string) {
	for _, c := range m.Closings {
		if c.Act == workshop.Reopened {
			reason = c.Reason
		}
	}
	return reason
}

// years gives the files of each year that has months, the newest first, as the months come.
func years(months []workshop.Month) (all []yearFiles) {
	for _, m := range months {
		year := m.Month.String()[:4]
		if len(all) > 0 && all[len(all)-1].Year == year {
			continue
		}
		e, _ := exportOf(year, false, false)
		all = append(all, yearFiles{year, e.buttons()})
	}
	return all
}
