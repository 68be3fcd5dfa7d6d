package wire

import (
	"cmp"
	"strings"

	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// spoolsPage answers what is to weigh and which wire runs down, with every spool that holds wire.
type spoolsPage struct {
	page.Frame
	Tabs   []page.Tab
	Head   page.Head
	Scan   page.Field
	Stats  []page.Stat
	Acts   []page.Action
	Spools page.Table
}

// spoolRow is a spool with its wire.
type spoolRow struct {
	stock.Balance
	wire    workshop.WireOnShelf
	toWeigh bool
}

func (p place) spools(r *page.Request) (page.Reply, error) {
	shelf, err := p.shop.WireShelf(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	list, err := p.shop.ToWeigh(r.Ctx(), r.Site.Today())
	if err != nil {
		return page.Reply{}, err
	}
	due := map[stock.SpoolCode]bool{}
	for _, row := range list.Rows {
		due[row.Spool] = true
	}
	var rows []spoolRow
	for _, w := range shelf.Wires {
		for _, b := range w.Spools {
			rows = append(rows, spoolRow{b, w, due[b.Code]})
		}
	}
	v := spoolsPage{Frame: r.Frame("Wire"), Tabs: tabs(r, "/wire"), Scan: scanField(page.NewForm(nil), "code")}
	v.Head = page.Head{Place: "Wire", Answer: shelfAnswer(shelf, len(list.Rows))}
	v.Stats = shelfStats(r, shelf, len(list.Rows))
	if r.May(receivers...) {
		v.Acts = append(v.Acts, page.Link("Receive wire", "/wire/receive"))
	}
	v.Spools = page.NewTable(r.Request.URL.Query(), spoolsSpec(r, shelf), rows)
	return page.Show(spoolsTemplate, v), nil
}

// scanField is the field that a scanner types into.
func scanField(f *page.Form, name string) page.Field {
	field := f.Field(name, "Scan a label").Required().Hinted("Or type the code of a spool.")
	field.Complete = "off"
	return field
}

func shelfAnswer(shelf workshop.WireShelf, toWeigh int) string {
	spools, below := 0, belowEnd(shelf)
	for _, w := range shelf.Wires {
		spools += len(w.Spools)
	}
	if spools == 0 {
		return "No wire on the shelf yet"
	}
	first := "Nothing to weigh today"
	if toWeigh > 0 {
		first = page.Plural(toWeigh, "spool", "spools") + " to weigh today"
	}
	if below == 0 {
		return first + "; no wire is below its usable end"
	}
	return first + "; " + page.Plural(below, "wire below its usable end", "wires below their usable end")
}

func belowEnd(shelf workshop.WireShelf) (n int) {
	for _, w := range shelf.Wires {
		if w.BelowUsableEnd() {
			n++
		}
	}
	return n
}

func shelfStats(r *page.Request, shelf workshop.WireShelf, toWeigh int) []page.Stat {
	var onHand, allocated measure.Mass
	quarantined := 0
	for _, w := range shelf.Wires {
		onHand, allocated = onHand+w.OnHand, allocated+w.Allocated
		for _, b := range w.Spools {
			if b.State == stock.Quarantined {
				quarantined++
			}
		}
	}
	u := r.Units()
	stats := []page.Stat{
		{Label: "Free wire", Number: u.Bulk(onHand - allocated).Number, Unit: u.BulkUnit(), Note: "of " + u.Bulk(onHand).String() + " on the shelf"},
		{Label: "To weigh today", Number: u.Count(toWeigh), Href: "/wire/count", Tone: toneOf(toWeigh, page.Wait)},
		{Label: "Below usable end", Number: u.Count(belowEnd(shelf)), Note: "wires with remnants only", Href: "/wire/wires?state=below", Tone: toneOf(belowEnd(shelf), page.Wrong)},
	}
	if quarantined > 0 {
		stats = append(stats, page.Stat{Label: "In quarantine", Number: u.Count(quarantined), Note: "spools that nothing draws on", Href: "/wire?state=quarantine", Tone: page.Wait})
	}
	return stats
}

func toneOf(n int, tone page.Tone) page.Tone {
	if n == 0 {
		return page.Good
	}
	return tone
}

func spoolsSpec(r *page.Request, shelf workshop.WireShelf) page.Spec[spoolRow] {
	var wires []page.Option
	for _, w := range shelf.Wires {
		if len(w.Spools) > 0 {
			wires = append(wires, page.Option{Value: string(w.Code), Text: string(w.Code)})
		}
	}
	return page.Spec[spoolRow]{
		ID: "spools", Caption: "Spools by wire", Path: "/wire", Columns: spoolColumns(r, true), Search: true, Sort: "wire", Size: 40,
		Choices: []page.Choice[spoolRow]{
			{Key: "wire", Label: "Wire", Options: wires, Keep: func(s spoolRow, v string) bool { return strings.EqualFold(string(s.Wire), v) }},
			{Key: "state", Label: "State", Keep: spoolRow.is, Options: []page.Option{{Value: "usable", Text: "to draw on"}, {Value: "remnant", Text: "remnant"},
				{Value: "quarantine", Text: "quarantine"}, {Value: "weigh", Text: "to weigh today"}}},
		},
		Empty: page.Empty{Title: "No spool yet", Text: "Receive a delivery, or import the spools that are on the shelf.", Command: "windingroom import FOLDER"},
	}
}

// is says whether a spool is in a state of the filter; one that the filter does not know keeps every spool.
func (s spoolRow) is(state string) bool {
	switch state {
	case "usable":
		return s.Drawable() > 0
	case "remnant":
		return s.Remnant()
	case "quarantine":
		return s.State == stock.Quarantined
	case "weigh":
		return s.toWeigh
	}
	return true
}

// spoolColumns are those of a list of spools; of one wire's spools the wire is left out.
func spoolColumns(r *page.Request, wire bool) []page.Column[spoolRow] {
	u := r.Units()
	mass := func(key, head string, of func(spoolRow) measure.Mass) page.Column[spoolRow] {
		return page.Column[spoolRow]{Key: key, Head: head + ", " + u.MassUnit(), Number: true, Cell: func(s spoolRow) page.Cell { return massCell(u, of(s)) },
			Compare: func(a, b spoolRow) int { return cmp.Compare(of(a), of(b)) }}
	}
	columns := []page.Column[spoolRow]{{Key: "spool", Head: "Spool", Cell: func(s spoolRow) page.Cell {
		c := page.Code(string(s.Code), spoolPath(s.Code))
		c.Tags = spoolTags(s.Balance)
		if s.toWeigh {
			c.Tags = append(c.Tags, page.Tag{Text: "to weigh"})
		}
		return c
	}, Compare: func(a, b spoolRow) int { return cmp.Compare(a.Code, b.Code) }}}
	if wire {
		columns = append(columns, page.Column[spoolRow]{Key: "wire", Head: "Wire", Cell: func(s spoolRow) page.Cell {
			return page.Cell{Text: string(s.Wire), Href: wirePath(s.Wire), Code: true, Note: string(s.wire.Alloy) + ", " + formText(u, s.wire.Form)}
		}, Compare: func(a, b spoolRow) int { return cmp.Or(cmp.Compare(a.Wire, b.Wire), cmp.Compare(a.Code, b.Code)) }})
	}
	return append(columns,
		page.Column[spoolRow]{Key: "fill", Head: "Fill", Cell: func(s spoolRow) page.Cell { return page.Cell{Fill: fillOf(u, s.Balance)} },
			Compare: func(a, b spoolRow) int {
				return cmp.Compare(float64(a.Mass)/float64(max(1, a.Net())), float64(b.Mass)/float64(max(1, b.Net())))
			}},
		mass("hand", "On hand", func(s spoolRow) measure.Mass { return s.Mass }),
		mass("allocated", "Allocated", func(s spoolRow) measure.Mass { return s.Allocated }),
		mass("free", "Free", func(s spoolRow) measure.Mass { return s.Free() }),
		page.Column[spoolRow]{Key: "lot", Head: "Lot", Cell: func(s spoolRow) page.Cell { return page.Cell{Text: s.Lot, Href: lotPath(s.Lot)} },
			Compare: func(a, b spoolRow) int { return cmp.Compare(a.Lot, b.Lot) }},
		page.Column[spoolRow]{Key: "place", Head: "Place", Cell: func(s spoolRow) page.Cell { return page.Text(s.Location) },
			Compare: func(a, b spoolRow) int { return cmp.Compare(a.Location, b.Location) }},
	)
}

// find opens what was scanned.
func (p place) find(r *page.Request) (page.Reply, error) {
	found, err := p.shop.Find(r.Ctx(), r.Query("code"))
	if err != nil {
		return r.Back("/wire", page.Notice{}, err)
	}
	return page.Redirect(foundPath(found)), nil
}

func foundPath(found workshop.Scanned) string {
	switch {
	case found.Spool != "":
		return spoolPath(found.Spool)
	case found.Wire != "":
		return wirePath(found.Wire)
	case found.Lot != "":
		return lotPath(found.Lot)
	case found.Delivery != "":
		return deliveryPath(found.Delivery)
	}
	return orderPath(found.Order)
}
