package buying

import (
	"errors"
	"fmt"
	"html/template"
	"strconv"

	"windingroom/internal/intake"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/purchase"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// receivePage takes in what came for a purchase: one row for each spool.
type receivePage struct {
	page.Frame
	Tabs   []page.Tab
	Head   page.Head
	Faults page.Faults
	To     string
	Back   string
	All    []page.Field
	Rows   []formRow
	Costs  []page.Field
	Done   page.Field
}

// formRow is a row of a form with its name.
type formRow struct {
	Name   string
	Fields []page.Field
}

// The rows for spools: no more than mostFirst at first, a few more each time they are asked for.
const (
	mostFirst = 8
	moreRows  = 4
)

func (p place) receiveForm(r *page.Request) (page.Reply, error) {
	story, err := p.shop.Purchase(r.Ctx(), code(r))
	if err != nil {
		return page.Reply{}, err
	}
	f := page.NewForm(nil)
	outstanding := 0
	for _, l := range story.Lines {
		for range packsToCome(l) {
			f.Values.Set(at("wire", outstanding), string(l.Wire))
			outstanding++
		}
	}
	rows, _ := strconv.Atoi(r.Query("rows")) // anything else is as many as come
	if rows <= 0 {
		rows = max(1, min(outstanding, mostFirst))
	}
	return p.showReceive(r, story, f, min(rows, mostRows), page.Show)
}

// packsToCome is how many packs of a line are outstanding.
func packsToCome(l purchase.Line) int {
	pack := l.Mass / measure.Mass(max(l.Packs, 1))
	if pack <= 0 {
		return 0
	}
	return min(mostRows, int((l.Outstanding()+pack-1)/pack))
}

func (p place) showReceive(r *page.Request, story workshop.PurchaseStory, f *page.Form, rows int, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	facts, err := p.shop.Receiving(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	var names, wires []string
	for _, t := range facts.Types {
		names = append(names, t.Name)
	}
	var expected money.Minor
	for _, l := range story.Lines {
		wires = append(wires, string(l.Wire))
		expected += l.CostOf(l.Outstanding())
	}
	u, c := r.Units(), string(story.Currency)
	v := receivePage{Frame: r.Frame("Receive " + string(story.Code)), Tabs: tabs(r, "/buying/purchases"), To: purchasePath(story.Code) + "/receive", Back: purchasePath(story.Code)}
	v.Head = page.Head{Place: "Buying", Answer: fmt.Sprintf("Receive what came from %s for %s", story.From.Name, story.Code),
		Note: "One row for each spool. Rows without a weight are left out; all others are taken in together, or none."}
	v.Scripts = []string{page.ProposedScript}
	v.All = []page.Field{f.Field("received_on", "Received on").Date().Required().Starting(r.Site.Today().String()), f.Field("lot", "Supplier's lot").Hinted("For every spool below that names none."),
		f.Field("tare_g", "Empty spool weighs").Number(u.MassUnit()).Hinted("For every spool below that names none."),
		f.Field("spool_type", "Type of empty spool").Suggesting(names...).Hinted("Instead of its weight, where its tare is known."), f.Field("location", "Place").Suggesting(facts.Places...).Hinted("Where they are put."),
		f.Field("delivery", "Delivery's code").Hinted("Empty: one is made up.")}
	all, codes := v.All, facts.Codes(rows)
	for i := range rows {
		spool := f.Field(at("spool", i), "Spool's code").Proposing()
		if i < len(codes) && !f.Values.Has(spool.Name) { // what a person emptied stays empty
			spool.Value = codes[i]
		}
		row := formRow{fmt.Sprintf("Spool %d", i+1), []page.Field{spool, f.Field(at("wire", i), "Wire").Suggesting(wires...),
			f.Field(at("gross_g", i), "Weighs with spool").Number(u.MassUnit()), f.Field(at("tare_g", i), "Empty spool").Number(u.MassUnit()),
			f.Field(at("lot", i), "Lot"), f.Field(at("cost", i), "Cost").Number(c)}}
		v.Rows, all = append(v.Rows, row), append(all, row.Fields...)
	}
	v.Costs = []page.Field{f.Field("cost", "Cost of all wire together").Number(c).Hinted("Instead of a cost in each row. At the ordered prices all that is outstanding costs " + u.Money(story.Currency, expected).String() + "."),
		f.Field("freight", "Freight").Number(c).Hinted("Split over the spools by their wire.")}
	v.Done = f.Field("complete", "No more will come of this purchase").Check()
	v.Faults = f.Said(append(all, v.Costs...)...)
	return as(receiveTemplate, v), nil
}

// receive takes in the spools of the rows that name one.
func (p place) receive(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	if f.Get("act") == "more" {
		story, err := p.shop.Purchase(r.Ctx(), code(r))
		if err != nil {
			return page.Reply{}, err
		}
		return p.showReceive(r, story, f, min(rowsIn(f, "spool")+moreRows, mostRows), page.Show)
	}
	texts, rows := spoolsOf(r, f)
	if len(texts) == 0 && f.OK() {
		f.Other = append(f.Other, "No spool is named with its weight: give each that came its code and what it weighs.")
	}
	if f.OK() {
		invoice := intake.Invoice{Cost: f.Get("cost"), Freight: f.Get("freight")}
		got, err := p.shop.ReceivePurchase(r.Ctx(), code(r), intake.SeveralSpools(texts), invoice, f.Get("delivery"), f.Get("complete") == "yes")
		if err == nil {
			return r.Back(purchasePath(got.Purchase.Code), page.Done(received(r, got)), nil)
		}
		if errors.Is(err, workshop.ErrForbidden) {
			return page.Reply{}, err
		}
		if err := f.Refuse(inRows(err, rows)); err != nil {
			return page.Reply{}, err
		}
	}
	story, err := p.shop.Purchase(r.Ctx(), code(r))
	if err != nil {
		return page.Reply{}, err
	}
	return p.showReceive(r, story, f, max(1, rowsIn(f, "spool")), page.Refused)
}

// spoolsOf reads the rows with a weight, or with a cost, a tare or a lot of their own (a code is proposed for each); rows gives where each stands. What a row leaves empty it takes from what is said
// of all.
func spoolsOf(r *page.Request, f *page.Form) (texts []intake.SpoolText, rows []int) {
	or := func(name string, i int) string {
		if text := f.Get(at(name, i)); text != "" {
			return text
		}
		return f.Get(name)
	}
	grams := func(name string) string {
		if f.Get(name) == "" {
			return ""
		}
		return page.Read(f, name, r.Units().ParseMass).GramText()
	}
	tare := grams("tare_g")
	for i := range rowsIn(f, "spool") {
		if f.Get(at("gross_g", i))+f.Get(at("cost", i))+f.Get(at("tare_g", i))+f.Get(at("lot", i)) == "" {
			continue
		}
		s := intake.SpoolText{Spool: f.Get(at("spool", i)), Wire: f.Get(at("wire", i)), Lot: or("lot", i), Gross: grams(at("gross_g", i)), Tare: tare,
			ReceivedOn: f.Get("received_on"), Cost: f.Get(at("cost", i)), Location: f.Get("location")}
		if own := grams(at("tare_g", i)); own != "" {
			s.Tare = own
		}
		if s.Tare == "" {
			s.SpoolType = f.Get("spool_type")
		}
		texts, rows = append(texts, s), append(rows, i)
	}
	return texts, rows
}

func received(r *page.Request, got workshop.PurchaseReceived) string {
	if got.Before {
		return "These spools are here already, with the same figures: nothing was changed."
	}
	var net measure.Mass
	for _, s := range got.Spools {
		net += s.Net()
	}
	text := fmt.Sprintf("Received: %s, %s, as delivery %s. Print their labels below.", page.Plural(len(got.Spools), "spool", "spools"), r.Units().Bulk(net), got.Delivery)
	if got.Purchase.Status == purchase.Closed {
		text += " The purchase is closed."
	}
	return text
}
