package wire

import (
	"cmp"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// wiresPage answers which wires run down.
type wiresPage struct {
	page.Frame
	Tabs  []page.Tab
	Head  page.Head
	Wires page.Table
}

func (p place) wires(r *page.Request) (page.Reply, error) {
	shelf, err := p.shop.WireShelf(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	v := wiresPage{Frame: r.Frame("Wires"), Tabs: tabs(r, "/wire/wires"), Wires: page.NewTable(r.Request.URL.Query(), wiresSpec(r), shelf.Wires)}
	gone := 0
	for _, w := range shelf.Wires {
		if len(w.Spools) == 0 {
			gone++
		}
	}
	v.Head = page.Head{Place: "Wire", Answer: "Every wire has a spool above its usable end"}
	if below := belowEnd(shelf); below+gone > 0 {
		v.Head.Answer = page.Plural(below, "wire below its usable end", "wires below their usable end") + ", " + page.Plural(gone, "wire", "wires") + " without a spool"
	}
	return page.Show(wiresTemplate, v), nil
}

func wiresSpec(r *page.Request) page.Spec[workshop.WireOnShelf] {
	type row = workshop.WireOnShelf
	u := r.Units()
	mass := func(key, head string, of func(row) measure.Mass) page.Column[row] {
		return page.Column[row]{Key: key, Head: head + ", " + u.MassUnit(), Number: true, Cell: func(w row) page.Cell { return massCell(u, of(w)) },
			Compare: func(a, b row) int { return cmp.Compare(of(a), of(b)) }}
	}
	return page.Spec[row]{ID: "wires", Caption: "Wires", Path: "/wire/wires", Search: true, Sort: "wire", Columns: []page.Column[row]{
		{Key: "wire", Head: "Wire", Cell: func(w row) page.Cell {
			return page.Cell{Text: string(w.Code), Href: wirePath(w.Code), Code: true, Tags: wireTags(w)}
		}, Compare: func(a, b row) int { return cmp.Compare(a.Code, b.Code) }},
		{Key: "alloy", Head: "Alloy", Cell: func(w row) page.Cell { return page.Cell{Text: string(w.Alloy), Note: formText(u, w.Form)} },
			Compare: func(a, b row) int {
				return cmp.Or(cmp.Compare(a.Alloy, b.Alloy), cmp.Compare(a.Form.Section, b.Form.Section), cmp.Compare(a.Form.Size, b.Form.Size))
			}},
		{Key: "spools", Head: "Spools", Number: true, Cell: func(w row) page.Cell { return page.Text(u.Count(len(w.Spools))) },
			Compare: func(a, b row) int { return cmp.Compare(len(a.Spools), len(b.Spools)) }},
		mass("hand", "On hand", func(w row) measure.Mass { return w.OnHand }),
		mass("allocated", "Allocated", func(w row) measure.Mass { return w.Allocated }),
		mass("free", "Free", row.Free),
		mass("drawable", "To draw on", func(w row) measure.Mass { return w.Drawable }),
		mass("end", "Usable end", func(w row) measure.Mass { return w.UsableEnd }),
	}, Choices: []page.Choice[row]{{Key: "state", Label: "State", Options: []page.Option{{Value: "below", Text: "below usable end"}, {Value: "none", Text: "without a spool"}, {Value: "there", Text: "to draw on"}},
		Keep: func(w row, state string) bool {
			switch state {
			case "below":
				return w.BelowUsableEnd()
			case "none":
				return len(w.Spools) == 0
			case "there":
				return w.Drawable > 0
			}
			return true
		}}},
		Empty: page.Empty{Title: "No wire yet", Text: "Wires come in with an import.", Command: "windingroom import FOLDER"}}
}

func wireTags(w workshop.WireOnShelf) []page.Tag {
	switch {
	case len(w.Spools) == 0:
		return []page.Tag{{Text: "no spool"}}
	case w.BelowUsableEnd():
		return []page.Tag{{Text: "below usable end", Tone: page.Wrong}}
	case w.Drawable == 0:
		return []page.Tag{{Text: "nothing to draw on", Tone: page.Wait}}
	}
	return nil
}

// wirePage is one wire: what of it is there, and who waits for it.
type wirePage struct {
	page.Frame
	Tabs   []page.Tab
	Head   page.Head
	Tags   []page.Tag
	Facts  []page.Fact
	Spools page.Table
	Orders page.Table
}

func (p place) wire(r *page.Request) (page.Reply, error) {
	w, err := p.shop.WireStory(r.Ctx(), material.WireCode(r.Param("wire")))
	if err != nil {
		return page.Reply{}, err
	}
	u, path := r.Units(), wirePath(w.Code)
	v := wirePage{Frame: r.Frame(string(w.Code)), Tabs: tabs(r, ""), Tags: wireTags(w.WireOnShelf)}
	v.Head = page.Head{Place: "Wire", Answer: string(w.Code) + ": " + u.Mass(w.Free()).String() + " free on " + page.Plural(len(w.Spools), "spool", "spools"),
		Note: w.AlloyName + ", " + formText(u, w.Form)}
	v.Facts = wireFacts(r, w)
	var rows []spoolRow
	for _, b := range append(w.Spools, w.Empty...) {
		rows = append(rows, spoolRow{Balance: b, wire: w.WireOnShelf})
	}
	v.Spools = page.NewTable(r.Request.URL.Query(), page.Spec[spoolRow]{ID: "spools", Caption: "Spools", Path: path, Columns: spoolColumns(r, false),
		Empty: page.Empty{Title: "No spool of this wire", Text: "When one comes, receive it: its label can be printed at once."}}, rows)
	v.Orders = page.Plain("orders", "Open orders that need it", []page.Column[workshop.Allocation]{
		{Head: "Order", Cell: func(a workshop.Allocation) page.Cell { return page.Code(string(a.Order), orderPath(a.Order)) }},
		{Head: "Due", Cell: func(a workshop.Allocation) page.Cell { return page.Text(u.Date(a.DueOn)) }},
		{Head: "Needs, " + u.MassUnit(), Number: true, Cell: func(a workshop.Allocation) page.Cell { return massCell(u, a.Needed) }},
		{Head: "Promised, " + u.MassUnit(), Number: true, Cell: func(a workshop.Allocation) page.Cell { return massCell(u, a.Mass) }},
		{Head: "Short, " + u.MassUnit(), Number: true, Cell: func(a workshop.Allocation) page.Cell {
			c := massCell(u, a.Short())
			if a.Short() > 0 {
				c.Tone = page.Wrong
			}
			return c
		}},
	}, w.Orders)
	v.Orders.Empty = page.Empty{Text: "No open order needs this wire."}
	return page.Show(wireTemplate, v), nil
}

func wireFacts(r *page.Request, w workshop.WireStory) []page.Fact {
	u := r.Units()
	facts := []page.Fact{
		{Term: "On hand", Text: u.Mass(w.OnHand).String()}, {Term: "Allocated to batches", Text: u.Mass(w.Allocated).String()},
		{Term: "To draw on", Text: u.Mass(w.Drawable).String()}, {Term: "Usable end", Text: u.Mass(w.UsableEnd).String()},
	}
	if w.Supplier != "" {
		facts = append(facts, page.Fact{Term: "Supplier", Text: w.Supplier})
	}
	if w.Pack > 0 {
		facts = append(facts, page.Fact{Term: "Pack", Text: u.Bulk(w.Pack).String()})
	}
	if prices(r) {
		facts = append(facts, page.Fact{Term: "Value on hand", Text: u.Money(w.Currency, w.Value).String()})
		if w.PricePerKg > 0 {
			facts = append(facts, page.Fact{Term: "List price of 1 kg", Text: u.Money(w.Currency, w.PricePerKg).String()})
		}
	}
	return facts
}
