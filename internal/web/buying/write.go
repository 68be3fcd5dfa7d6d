package buying

import (
	"errors"
	"fmt"
	"html/template"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"windingroom/internal/purchase"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// writePage is a purchase to write: a new one, or a change of one.
type writePage struct {
	page.Frame
	Tabs   []page.Tab
	Head   page.Head
	Faults page.Faults
	To     string
	Stood  string   // who changed it meanwhile; empty where nobody did
	Told   []string // what they changed
	Typed  []string // lines that were typed and can no longer be kept
	Hidden []page.Pair
	Once   string     // idempotency key of a new one
	From   page.Field // the supplier of a new one
	Rows   []formRow
	Fields []page.Field
	Button string
	Back   string
}

// spareRows is how many rows a form has beyond its lines.
const spareRows = 2

func (p place) newForm(r *page.Request) (page.Reply, error) {
	f := page.NewForm(url.Values{"supplier": {r.Query("supplier")}, "wire-0": {r.Query("wire")}})
	return p.showNew(r, f, page.Show)
}

func (p place) showNew(r *page.Request, f *page.Form, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	list, err := p.shop.Suppliers(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	v := writePage{Frame: r.Frame("New purchase"), Tabs: tabs(r, "/buying/purchases"), To: "/buying/purchases/new", Button: "Propose it", Back: "/buying/purchases"}
	v.Head = page.Head{Place: "Buying", Answer: "What do you want to order?", Note: "It is kept as a proposal; nothing is sent yet."}
	var options []page.Option
	var wires []string
	for _, s := range list {
		options = append(options, page.Option{Value: s.Code, Text: s.Name})
		if f.Get("supplier") == "" || strings.EqualFold(s.Code, f.Get("supplier")) {
			wires = append(wires, page.Texts(s.Wires)...)
		}
	}
	from := f.Field("supplier", "Supplier").Required().Choice(options...).Hinted("With no wire below, it holds what the last night asks for from this supplier.")
	v.From = from
	v.Once = v.Key + "-purchase"
	v.lines(f, max(rowsIn(f, "wire"), 2+spareRows), "", wires)
	v.rest(f, "")
	v.Faults = f.Said(append(v.all(), from)...)
	return as(writeTemplate, v), nil
}

// lines are the rows of the form.
func (v *writePage) lines(f *page.Form, rows int, currency string, wires []string) {
	for i := range rows {
		v.Rows = append(v.Rows, formRow{fmt.Sprintf("Line %d", i+1), []page.Field{f.Field(at("wire", i), "Wire").Suggesting(wires...),
			f.Field(at("packs", i), "Packs").Whole(""), f.Field(at("price_per_kg", i), "Price per kg").Number(currency)}})
	}
}

func (v *writePage) rest(f *page.Form, currency string) {
	v.Fields = []page.Field{f.Field("promised_on", "Promised for").Date().Hinted("Empty: the supplier named no day."), f.Field("freight", "Freight to expect").Number(currency).Hinted("Empty: what the supplier usually asks."), f.Field("note", "Note").Long()}
}

func (v *writePage) all() (fields []page.Field) {
	for _, row := range v.Rows {
		fields = append(fields, row.Fields...)
	}
	return append(fields, v.Fields...)
}

// sent gives what a form holds in a field, which may be nothing; nil where it does not have the field.
func sent(f *page.Form, name string) *string {
	if !f.Values.Has(name) {
		return nil
	}
	return new(f.Get(name))
}

// formOf reads what a use case is asked for; rows gives where each line stands.
func formOf(f *page.Form) (form workshop.PurchaseForm, rows []int) {
	form = workshop.PurchaseForm{Supplier: f.Get("supplier"), PromisedOn: sent(f, "promised_on"), Freight: sent(f, "freight"), Note: sent(f, "note"), Key: f.Get("key")}
	for i := range rowsIn(f, "wire") {
		wire, text := f.Get(at("wire", i)), f.Get(at("packs", i))
		if text == "" || wire == "" && text == "0" { // taken out, or never filled in
			if wire != "" && form.Supplier != "" {
				f.Mark(at("packs", i), errors.New("is needed: how many packs"))
			}
			continue
		}
		n, err := strconv.Atoi(text)
		switch {
		case wire == "":
			f.Mark(at("wire", i), errors.New("is needed: which wire"))
		case err != nil || n < 0:
			f.Mark(at("packs", i), fmt.Errorf("%q is not a number of packs", text))
		case n == 0:
			continue
		}
		rows = append(rows, i)
		form.Lines = append(form.Lines, workshop.PurchaseFormLine{Wire: wire, Packs: n, PricePerKg: f.Get(at("price_per_kg", i))})
	}
	return form, rows
}

func (p place) add(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	form, rows := formOf(f)
	if f.OK() {
		story, err := p.shop.AddPurchase(r.Ctx(), form)
		if err == nil {
			return r.Back(purchasePath(story.Code), page.Done(string(story.Code)+" is proposed. Nothing is sent yet."), nil)
		}
		if errors.Is(err, workshop.ErrForbidden) {
			return page.Reply{}, err
		}
		if err := f.Refuse(inRows(err, rows)); err != nil {
			return page.Reply{}, err
		}
	}
	return p.showNew(r, f, page.Refused)
}

func (p place) changeForm(r *page.Request) (page.Reply, error) {
	story, err := p.shop.Purchase(r.Ctx(), code(r))
	if err != nil {
		return page.Reply{}, err
	}
	f := page.NewForm(nil)
	asWritten(story).put(f.Values, "")
	return p.showChange(r, story, f, asWritten(story), story.Version, nil, page.Show)
}

// showChange shows the form of a change over what the person has seen, a version of the purchase.
func (p place) showChange(r *page.Request, story workshop.PurchaseStory, f *page.Form, seen written, version int, more func(*writePage), as func(*template.Template, any) page.Reply) (page.Reply, error) {
	v := writePage{Frame: r.Frame("Change " + string(story.Code)), Tabs: tabs(r, "/buying/purchases"), To: purchasePath(story.Code) + "/change", Button: "Keep the change", Back: purchasePath(story.Code)}
	v.Head = page.Head{Place: "Buying", Answer: fmt.Sprintf("Change %s from %s", story.Code, story.From.Name), Note: "Empty the packs of a wire to take it out."}
	hidden := url.Values{"version": {strconv.Itoa(version)}}
	seen.put(hidden, was)
	for name := range hidden {
		v.Hidden = append(v.Hidden, page.Pair{Name: name, Value: hidden.Get(name)})
	}
	slices.SortFunc(v.Hidden, func(a, b page.Pair) int { return strings.Compare(a.Name, b.Name) })
	if story.Status == purchase.Proposed {
		wires, err := p.soldBy(r, story.Supplier)
		if err != nil {
			return page.Reply{}, err
		}
		v.lines(f, max(rowsIn(f, "wire"), len(story.Lines)+spareRows), string(story.Currency), wires)
	} else {
		v.Head.Note = "It is " + string(story.Status) + ": its lines stand."
	}
	v.rest(f, string(story.Currency))
	v.Faults = f.Said(v.all()...)
	if more != nil {
		more(&v)
	}
	return as(writeTemplate, v), nil
}

// soldBy gives the wires that are bought from a supplier.
func (p place) soldBy(r *page.Request, supplier string) ([]string, error) {
	list, err := p.shop.Suppliers(r.Ctx())
	for _, s := range list {
		if strings.EqualFold(s.Code, supplier) {
			return page.Texts(s.Wires), err
		}
	}
	return nil, err
}

// change keeps a change of the version that was seen. Where somebody changed it meanwhile, both changes are brought together and shown
// again, with what the other changed.
func (p place) change(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	version, _ := strconv.Atoi(f.Get("version"))
	version = max(version, 1) // anything else is no version that was seen
	form, rows := formOf(f)
	if rowsIn(f, "wire") > 0 && len(form.Lines) == 0 {
		f.Other = append(f.Other, "At least one wire is needed. If nothing is wanted of it, cancel the purchase.")
	}
	if f.OK() {
		story, err := p.shop.ChangePurchase(r.Ctx(), code(r), version, form)
		switch {
		case err == nil:
			return r.Back(purchasePath(story.Code), page.Done("The change is kept."), nil)
		case errors.Is(err, workshop.ErrForbidden):
			return page.Reply{}, err
		case errors.Is(err, workshop.ErrChanged), errors.Is(err, workshop.ErrStage):
			return p.bothChanged(r, f)
		}
		if err := f.Refuse(inRows(err, rows)); err != nil {
			return page.Reply{}, err
		}
	}
	story, err := p.shop.Purchase(r.Ctx(), code(r))
	if err != nil {
		return page.Reply{}, err
	}
	return p.showChange(r, story, f, readWritten(f, was), version, nil, page.Refused)
}

// bothChanged shows what somebody else changed, over what was typed.
func (p place) bothChanged(r *page.Request, f *page.Form) (page.Reply, error) {
	story, err := p.shop.Purchase(r.Ctx(), code(r))
	if err != nil {
		return page.Reply{}, err
	}
	typed, now := readWritten(f, ""), asWritten(story)
	both, told := merge(typed, readWritten(f, was), now)
	again := page.NewForm(nil)
	both.put(again.Values, "")
	more := func(v *writePage) {
		v.Stood, v.Told = "While you were writing, "+p.lastStep(r, story.Code)+".", told
		if story.Status == purchase.Proposed {
			return
		}
		for _, l := range typed.lines {
			if n, ok := now.line(l.key()); !ok || n != l {
				v.Typed = append(v.Typed, fmt.Sprintf("%s: %s at %s per kg", l.wire, packs(l.packs), orEmpty(l.price)))
			}
		}
	}
	reply, err := p.showChange(r, story, again, now, story.Version, more, page.Refused)
	return reply.Status(409), err
}
