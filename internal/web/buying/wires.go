package buying

import (
	"cmp"
	"errors"

	"windingroom/internal/calendar"
	"windingroom/internal/replenishment"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// listPage is a list of the place: all wires, or all purchases.
type listPage struct {
	page.Frame
	Tabs []page.Tab
	Head page.Head
	Acts []page.Action
	List page.Table
}

// wires shows how long every wire lasts.
func (p place) wires(r *page.Request) (page.Reply, error) {
	n, err := p.shop.Reorder(r.Ctx())
	if err != nil && !errors.Is(err, workshop.ErrNotFound) {
		return page.Reply{}, err
	}
	v := listPage{Frame: r.Frame("Wires to buy"), Tabs: tabs(r, "/buying/wires"), Head: page.Head{Place: "Buying", Answer: "How long each wire lasts"}}
	if err == nil {
		v.Head.Answer, v.Head.Note = soonest(r, n), "As of the night of "+r.Units().LongDate(n.Date)+"."
	}
	v.List = page.NewTable(r.Request.URL.Query(), wiresSpec(r), n.Wires)
	return page.Show(listTemplate, v), nil
}

// soonest names the wire that runs out first.
func soonest(r *page.Request, n workshop.NightReport) string {
	var first *replenishment.WireNight
	for i, w := range n.Wires {
		if !w.RunOut.IsZero() && (first == nil || w.RunOut < first.RunOut) {
			first = &n.Wires[i]
		}
	}
	if first == nil {
		return "Every wire lasts a year"
	}
	return string(first.Wire) + " runs out first, on " + r.Units().Date(first.RunOut)
}

func wiresSpec(r *page.Request) page.Spec[replenishment.WireNight] {
	u := r.Units()
	type row = replenishment.WireNight
	return page.Spec[row]{ID: "wires", Caption: "Wires", Path: "/buying/wires", Search: true, Sort: "out",
		Choices: []page.Choice[row]{{Key: "level", Label: "Level", Options: []page.Option{{Value: "late", Text: "late"}, {Value: "order", Text: "order"}, {Value: "watch", Text: "watch"}, {Value: "none", Text: "enough"}},
			Keep: func(w row, v string) bool { return string(w.Alert) == v }}},
		Columns: []page.Column[row]{
			{Key: "wire", Head: "Wire", Cell: func(w row) page.Cell { return page.Code(string(w.Wire), wirePath(w.Wire)) }, Compare: func(a, b row) int { return cmp.Compare(a.Wire, b.Wire) }},
			{Key: "level", Head: "Level", Cell: func(w row) page.Cell { return page.Cell{Tags: []page.Tag{levelTags[w.Alert]}} }, Compare: func(a, b row) int { return cmp.Compare(a.Alert.Rank(), b.Alert.Rank()) }},
			{Key: "out", Head: "Runs out", Cell: func(w row) page.Cell { return runsOutCell(w, r) }, Compare: func(a, b row) int { return cmp.Compare(never(a.RunOut), never(b.RunOut)) }},
			{Key: "by", Head: "Order by", Cell: func(w row) page.Cell { return page.Text(u.Date(w.OrderBy)) }, Compare: func(a, b row) int { return cmp.Compare(never(a.OrderBy), never(b.OrderBy)) }},
			{Key: "have", Head: "On hand, " + u.BulkUnit(), Number: true, Cell: func(w row) page.Cell { return page.Text(u.Bulk(w.OnHand).Number) }, Compare: func(a, b row) int { return cmp.Compare(a.OnHand, b.OnHand) }},
			{Key: "coming", Head: "On order, " + u.BulkUnit(), Number: true, Cell: func(w row) page.Cell { return page.Text(u.Bulk(w.OnOrder).Number) }, Compare: func(a, b row) int { return cmp.Compare(a.OnOrder, b.OnOrder) }},
			{Key: "use", Head: "A week, " + u.MassUnit(), Number: true, Cell: func(w row) page.Cell { return page.Text(u.Mass(w.WeeklyUsage).Number) }, Compare: func(a, b row) int { return cmp.Compare(a.WeeklyUsage, b.WeeklyUsage) }},
			{Key: "risk", Head: "At risk", Cell: func(w row) page.Cell { return page.Cell{Codes: orderCodes(w.AtRisk)} }, Compare: func(a, b row) int { return cmp.Compare(len(a.AtRisk), len(b.AtRisk)) }},
		},
		Empty: page.Empty{Title: "No nightly check has run yet", Text: "It says of each wire how long it lasts.", Command: "windingroom night", Actions: []page.Action{page.Button("Check now", "/buying/night")}}}
}

// never puts no day behind all days.
func never(d calendar.Date) calendar.Date {
	if d.IsZero() {
		return 1 << 30
	}
	return d
}

func runsOutCell(w replenishment.WireNight, r *page.Request) page.Cell {
	u := r.Units()
	c := page.Cell{Text: "not within a year"}
	if !w.RunOut.IsZero() {
		c.Text = u.Date(w.RunOut)
	}
	if !w.RunOutSoon.IsZero() && w.RunOutSoon != w.RunOut {
		c.Note = u.ShortDate(w.RunOutSoon) + " at the earliest"
	}
	if w.Alert == replenishment.Late {
		c.Tone = page.Wrong
	}
	return c
}
