package buying

import (
	"cmp"
	"fmt"
	"strings"

	"windingroom/internal/purchase"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// purchases lists them all, those that are open first.
func (p place) purchases(r *page.Request) (page.Reply, error) {
	list, err := p.shop.Purchases(r.Ctx(), workshop.PurchaseFilter{})
	if err != nil {
		return page.Reply{}, err
	}
	v := listPage{Frame: r.Frame("Purchases"), Tabs: tabs(r, "/buying/purchases"), Head: page.Head{Place: "Buying", Answer: underWay(list, r)}}
	if mayBuy(r) {
		v.Acts = []page.Action{page.Link("Make a purchase", "/buying/purchases/new")}
	}
	v.List = page.NewTable(r.Request.URL.Query(), purchasesSpec(r), list)
	return page.Show(listTemplate, v), nil
}

func underWay(list []workshop.PurchaseStory, r *page.Request) string {
	proposed, open, late := 0, 0, 0
	for _, p := range list {
		switch {
		case p.Status == purchase.Proposed:
			proposed++
		case p.Open():
			open++
			if p.DueOn() < r.Site.Today() {
				late++
			}
		}
	}
	text := page.Plural(open, "purchase on its way", "purchases on their way")
	if late > 0 {
		text += fmt.Sprintf(", %d past due", late)
	}
	if proposed > 0 {
		text += fmt.Sprintf("; %d to look at and send", proposed)
	}
	return text
}

// stage orders the states as a purchase goes through them.
var stage = map[purchase.Status]int{purchase.Proposed: 0, purchase.Sent: 1, purchase.PartReceived: 2, purchase.Closed: 3, purchase.Cancelled: 4}

func statusTag(s purchase.Status) page.Tag {
	switch s {
	case purchase.Proposed:
		return page.Tag{Text: string(s), Tone: page.Wait}
	case purchase.Closed:
		return page.Tag{Text: string(s), Tone: page.Good}
	}
	return page.Tag{Text: string(s)}
}

func purchasesSpec(r *page.Request) page.Spec[workshop.PurchaseStory] {
	u := r.Units()
	type row = workshop.PurchaseStory
	var states []page.Option
	for _, s := range []purchase.Status{purchase.Proposed, purchase.Sent, purchase.PartReceived, purchase.Closed, purchase.Cancelled} {
		states = append(states, page.Option{Value: string(s), Text: string(s)})
	}
	return page.Spec[row]{ID: "purchases", Caption: "Purchases", Path: "/buying/purchases", Search: true, Sort: "state",
		Choices: []page.Choice[row]{{Key: "in", Label: "State", Options: states, Keep: func(p row, v string) bool { return string(p.Status) == v }}},
		Columns: []page.Column[row]{
			{Key: "purchase", Head: "Purchase", Cell: func(p row) page.Cell { return page.Code(string(p.Code), purchasePath(p.Code)) }, Compare: func(a, b row) int { return cmp.Compare(a.Code, b.Code) }},
			{Key: "state", Head: "State", Cell: func(p row) page.Cell { return page.Cell{Tags: []page.Tag{statusTag(p.Status)}} }, Compare: func(a, b row) int { return cmp.Compare(stage[a.Status], stage[b.Status]) }},
			{Key: "from", Head: "From", Cell: func(p row) page.Cell { return page.Cell{Text: p.From.Name, Note: p.Supplier} }, Compare: func(a, b row) int { return strings.Compare(a.Supplier, b.Supplier) }},
			{Head: "Wires", Cell: func(p row) page.Cell {
				wires := make([]page.Cell, len(p.Lines))
				for i, l := range p.Lines {
					wires[i] = page.Code(string(l.Wire), "")
				}
				return page.Cell{Codes: wires}
			}},
			{Key: "total", Head: "Total", Number: true, Cell: func(p row) page.Cell { return page.Text(u.Money(p.Currency, p.Total()).String()) }, Compare: func(a, b row) int { return cmp.Compare(a.Total(), b.Total()) }},
			{Key: "due", Head: "Due", Cell: func(p row) page.Cell { return dueCell(p, r) }, Compare: func(a, b row) int { return cmp.Compare(never(a.DueOn()), never(b.DueOn())) }},
		},
		Empty: page.Empty{Title: "No purchase yet", Text: "The morning's list proposes them.", Actions: []page.Action{page.Link("To the morning's list", "/buying")}}}
}

func dueCell(p workshop.PurchaseStory, r *page.Request) page.Cell {
	c := page.Cell{Text: r.Units().Date(p.DueOn())}
	switch {
	case p.DueOn().IsZero():
		c.Text = "not sent"
	case p.Open() && p.DueOn() < r.Site.Today():
		c.Text, c.Tone = c.Text+" (past)", page.Wrong
	case !p.Open():
		c.Text = ""
	}
	return c
}
