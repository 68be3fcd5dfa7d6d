package wire

import (
	"bytes"
	"cmp"
	"fmt"
	"net/url"
	"slices"

	"windingroom/exports"
	"windingroom/internal/order"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// tracePage answers what an order was wound from, or where a lot went.
type tracePage struct {
	page.Frame
	Tabs   []page.Tab
	Head   page.Head
	Faults page.Faults
	Look   page.Field
	Acts   []page.Action
	Flow   *flow
	Table  page.Table
	None   page.Empty // where nothing is wound yet
}

// mostThere says what the numbers of a trace are.
const mostThere = "Where a batch drew on several spools, any of its strings may be from each: strings and masses are the most there can be."

func (p place) trace(r *page.Request) (page.Reply, error) {
	query := r.Request.URL.Query()
	f := page.NewForm(query)
	v := tracePage{Frame: r.Frame("Trace"), Tabs: tabs(r, "/wire/trace"), Head: page.Head{Place: "Wire", Answer: "What went into what?",
		Note: "From an order to the supplier's lots that are in its strings, and from a lot to every order that has some of it."}}
	v.Look = f.Field("look", "Order, lot or spool").Required().Hinted("Scan a spool's label, or type the number of an order or a lot.")
	v.Look.Complete = "off"
	as, err := page.Show, error(nil)
	switch {
	case query.Get("order") != "":
		err = p.traceOrder(r, order.Code(query.Get("order")), &v)
	case query.Get("lot") != "":
		err = p.traceLot(r, query.Get("lot"), &v)
	case query.Has("look"):
		to, lookErr := p.lookFor(r, query.Get("look"))
		if lookErr == nil {
			return page.Redirect(to), nil
		}
		err = lookErr
	}
	if err != nil {
		if err := refuse(f, err); err != nil {
			return page.Reply{}, err
		}
		v.Faults, as = page.Faults{Other: f.Other}, page.Refused
	}
	return as(traceTemplate, v), nil
}

// lookFor gives the address of the trace of what a code names: of a spool, that of its lot.
func (p place) lookFor(r *page.Request, code string) (string, error) {
	found, err := p.shop.Find(r.Ctx(), code)
	if err != nil || found.Spool == "" {
		return foundPath(found), err
	}
	s, err := p.shop.SpoolStory(r.Ctx(), found.Spool)
	return lotPath(s.Spool.Lot), err
}

func (p place) traceOrder(r *page.Request, code order.Code, v *tracePage) error {
	t, err := p.shop.TraceOrder(r.Ctx(), code)
	if err != nil {
		return err
	}
	o := t.Order
	v.Title = "Trace of " + string(o.Code)
	v.Head = page.Head{Place: "Wire", Answer: "Order " + string(o.Code) + ": from its strings to the lots", Note: o.Customer + ", " + string(o.Status) + ", due " + r.Units().Date(o.DueOn) + ". " + mostThere}
	if len(t.Strings) == 0 {
		v.None = page.Empty{Title: "No string of it is wound yet", Text: "Once a result is posted, this page shows what each string was wound from."}
		return nil
	}
	drawing := orderFlow(t)
	v.Flow = &drawing
	v.Table = page.NewTable(r.Request.URL.Query(), stringsSpec(r, "/wire/trace", "order"), t.Strings)
	return nil
}

func orderFlow(t workshop.OrderTrace) flow {
	f := newFlow("Order", "Strings", "Batches", "Spools", "Supplier and lot")
	root := f.box(0, node{key: string(t.Order.Code), text: string(t.Order.Code), note: t.Order.Customer, here: true})
	for _, s := range t.Strings {
		place := f.box(1, node{key: fmt.Sprint(s.Line, ".", s.Position, s.Recipe), text: fmt.Sprintf("line %d, string %d", s.Line, s.Position), note: string(s.Recipe)})
		f.line(root, place)
		batch := f.box(2, node{key: string(s.Batch), text: string(s.Batch), note: s.WoundOn.String() + " " + s.Person, href: dayPath(s.WoundOn, string(s.Batch))})
		f.line(place, batch)
		if s.Spool == "" {
			continue
		}
		spool := f.box(3, node{key: string(s.Spool), text: string(s.Spool), note: string(s.Wire), href: spoolPath(s.Spool)})
		f.line(batch, spool)
		f.line(spool, f.box(4, node{key: s.Lot, text: s.Lot, note: cmp.Or(s.Supplier, "supplier not named"), href: lotPath(s.Lot)}))
	}
	return f.draw("What order "+string(t.Order.Code)+" was wound from", "From the order to its strings, the batches they were wound in, the spools those drew on, and the supplier's lots. The table below says the same.")
}

func (p place) traceLot(r *page.Request, lot string, v *tracePage) error {
	t, err := p.shop.TraceLot(r.Ctx(), lot)
	if err != nil {
		return err
	}
	orders := slices.DeleteFunc(t.Orders(), func(o workshop.LotOrder) bool { return o.Order == "" })
	v.Title = "Trace of lot " + t.Lot
	v.Head = page.Head{Place: "Wire", Answer: fmt.Sprintf("Lot %s is in the strings of %s", t.Lot, page.Plural(len(orders), "order", "orders")), Note: mostThere}
	if len(orders) == 0 {
		v.Head.Answer, v.Head.Note = "Lot "+t.Lot+" is in no order yet", ""
	}
	v.Acts = []page.Action{{Text: "Recall list", To: "/wire/recall.xlsx?" + url.Values{"lot": {t.Lot}}.Encode(), Kind: "second", File: true}}
	drawing := lotFlow(r, t)
	v.Flow = &drawing
	v.Table = page.NewTable(r.Request.URL.Query(), stringsSpec(r, "/wire/trace", "lot"), t.Strings)
	return nil
}

func lotFlow(r *page.Request, t workshop.LotTrace) flow {
	u := r.Units()
	f := newFlow("Supplier", "Lot", "Spools", "Batches", "Orders")
	lot := f.box(1, node{key: t.Lot, text: t.Lot, note: page.Plural(len(t.Spools), "spool", "spools"), here: true})
	for _, s := range t.Spools {
		f.line(f.box(0, node{key: s.Supplier, text: cmp.Or(s.Supplier, "not named")}), lot)
		f.line(lot, f.box(2, node{key: string(s.Spool), text: string(s.Spool), note: u.Mass(s.OnHand).String() + " left", href: spoolPath(s.Spool)}))
	}
	for _, b := range t.Batches {
		batch := f.box(3, node{key: string(b.Batch), text: string(b.Batch), note: string(b.Recipe) + ", " + string(b.Status), href: dayPath(b.Date, string(b.Batch))})
		if b.Held > 0 && len(t.Spools) == 1 { // of several it is not known here from which
			f.line("2 "+string(t.Spools[0].Spool), batch)
		}
	}
	for _, s := range t.Strings {
		batch := f.box(3, node{key: string(s.Batch), text: string(s.Batch), note: string(s.Recipe), href: dayPath(s.WoundOn, string(s.Batch))})
		f.line("2 "+string(s.Spool), batch)
		n := node{key: string(s.Order), text: string(s.Order), note: s.Customer, href: orderPath(s.Order)}
		if s.Order == "" {
			n = node{text: "finished stock"}
		}
		f.line(batch, f.box(4, n))
	}
	return f.draw("Where lot "+t.Lot+" went", "From the supplier to the lot's spools, the batches that drew on them, and the orders that have strings of it. The table below says the same.")
}

func stringsSpec(r *page.Request, path, keep string) page.Spec[workshop.TracedString] {
	type row = workshop.TracedString
	u := r.Units()
	return page.Spec[row]{ID: "strings", Caption: "Strings and what they were wound from", Path: path, Keep: []string{keep}, Search: true, Columns: []page.Column[row]{
		{Key: "order", Head: "Order", Cell: func(s row) page.Cell {
			if s.Order == "" {
				return page.Text("finished stock")
			}
			return page.Code(string(s.Order), orderPath(s.Order))
		}, Compare: func(a, b row) int { return cmp.Compare(a.Order, b.Order) }},
		{Head: "String", Cell: func(s row) page.Cell {
			if s.Order == "" {
				return page.Text(string(s.Recipe))
			}
			return page.Cell{Text: fmt.Sprintf("line %d, string %d", s.Line, s.Position), Note: string(s.Recipe)}
		}},
		{Head: "Batch", Cell: func(s row) page.Cell {
			return page.Cell{Text: string(s.Batch), Href: dayPath(s.WoundOn, string(s.Batch)), Code: true, Note: u.ShortDate(s.WoundOn) + ", " + s.Person + ", " + string(s.Machine)}
		}},
		{Key: "spool", Head: "Spool", Cell: func(s row) page.Cell {
			if s.Spool == "" {
				return page.Text("not known")
			}
			return page.Cell{Text: string(s.Spool), Href: spoolPath(s.Spool), Code: true, Note: string(s.Wire)}
		}, Compare: func(a, b row) int { return cmp.Compare(a.Spool, b.Spool) }},
		{Key: "lot", Head: "Lot", Cell: func(s row) page.Cell {
			if s.Lot == "" {
				return page.Cell{}
			}
			return page.Cell{Text: s.Lot, Href: lotPath(s.Lot), Note: s.Supplier}
		}, Compare: func(a, b row) int { return cmp.Compare(a.Lot, b.Lot) }},
		{Head: "Strings", Number: true, Cell: func(s row) page.Cell { return page.Text(u.Count(s.AtMost())) }},
		{Head: "Wire, " + u.MassUnit(), Number: true, Cell: func(s row) page.Cell { return massCell(u, s.Mass()) }},
	}, Empty: page.Empty{Title: "No string yet", Text: "No result has drawn on this lot."}}
}

func (p place) recall(r *page.Request) (page.Reply, error) {
	t, err := p.shop.TraceLot(r.Ctx(), r.Query("lot"))
	if err != nil {
		return page.Reply{}, err
	}
	var book bytes.Buffer
	if err := exports.RecallList(&book, t); err != nil {
		return page.Reply{}, err
	}
	return page.File("recall.xlsx", page.Workbook, book.Bytes()), nil
}
