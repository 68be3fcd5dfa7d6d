package orders

import (
	"context"
	"fmt"
	"html/template"
	"strings"

	"windingroom/internal/batch"
	"windingroom/internal/order"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// storyPage is one order's whole story.
type storyPage struct {
	page.Frame
	Tabs    []page.Tab
	Head    page.Head
	Code    string
	Facts   []page.Fact
	Actions []page.Action
	Reasons []reasonForm
	May     string // who may do what is not offered
	Takes   takesView
	Under   page.Table // released batches
	Made    page.Table // good strings and their wire
	Trace   string     // address of the same as a drawing
	Faults  page.Faults
	Note    page.Field
	History page.Table
}

// reasonForm asks why before it does something.
type reasonForm struct {
	Text, To string
	Danger   bool
	Say      string // what will happen
	Reason   page.Field
}

func (p place) story(r *page.Request) (page.Reply, error) {
	return p.showStory(r, order.Code(r.Param("order")), page.NewForm(nil), page.Show)
}

func (p place) showStory(r *page.Request, code order.Code, f *page.Form, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	story, err := p.shop.Order(workshop.WithoutDay(r.Ctx()), code)
	if err != nil {
		return page.Reply{}, err
	}
	work, err := p.shop.OrderWork(r.Ctx(), code)
	if err != nil {
		return page.Reply{}, err
	}
	o := story.Order
	v := storyPage{Frame: r.Frame(string(o.Code)), Tabs: tabs(r, ""), Code: string(o.Code), Facts: facts(r, story)}
	v.Head = page.Head{Place: "Order " + string(o.Code), Answer: stands(r, story), Note: holdUp(story)}
	v.acts(r, story, f)
	if v.Takes, err = p.takes(r, story, true); err != nil {
		return page.Reply{}, err
	}
	v.Under = page.Plain("under-way", "Batches that wind for it", batchColumns(r, o), work.Released)
	v.Made = page.Plain("made", "Good strings, and the wire they were wound from", madeColumns(r), work.Strings)
	v.Trace = tracePath(o.Code)
	v.History = page.Plain("history", "Who did what", historyColumns(r), work.History)
	v.Note = f.Field("note", "Note").Required().Long().Hinted("What the next person should know. It stays, with your name and the time.")
	v.Faults = f.Said(v.Note)
	return as(storyTemplate, v), nil
}

// stands answers where the order is.
func stands(r *page.Request, story workshop.OrderStory) string {
	o, good := story.Order, 0
	for _, g := range story.Good {
		good += g.Strings
	}
	wound := fmt.Sprintf("%s of %s wound", r.Units().Count(good), page.Plural(o.StringCount(), "string", "strings"))
	due := "due " + r.Units().Date(o.DueOn)
	switch {
	case o.Status == order.Draft:
		return "A draft, " + due + ": " + page.Plural(o.StringCount(), "string", "strings")
	case o.Status == order.Cancelled:
		return "Cancelled, with " + wound
	case o.Status == order.Packed || o.Status == order.Shipped:
		return page.Sentence(string(o.Status))[:len(o.Status)] + ", with " + wound
	case o.Open() && o.DueOn < r.Site.Today():
		return wound + ", and it was " + due
	}
	return wound + ", " + due
}

// holdUp says what keeps it from being wound.
func holdUp(story workshop.OrderStory) string {
	o := story.Order
	switch lacks := short(story.Wires); {
	case o.Short != "":
		return "It went short: " + o.Short
	case o.Status == order.Draft:
		note := "It takes no wire until it is confirmed."
		if lacks != "" {
			note += " By its due day it would be short of " + lacks + "."
		}
		return note
	case o.Open() && lacks != "":
		return "It is short of " + lacks + "."
	case o.Open() && len(story.Open) == 0:
		return "All its strings are wound or in released batches."
	case o.Open():
		return "Its wire is there."
	}
	return ""
}

func facts(r *page.Request, story workshop.OrderStory) []page.Fact {
	o, u := story.Order, r.Units()
	due := page.Fact{Term: "Due", Text: u.Date(o.DueOn)}
	if o.Open() && o.HeldTo() < r.Site.Today() {
		due.Tone = page.Wrong
	}
	all := []page.Fact{{Term: "State", Text: string(o.Status)}, {Term: "Customer", Text: o.Customer, Href: listPath(o.Customer)}, {Term: "Ordered", Text: u.Date(o.OrderedOn)}, due,
		{Term: "Strings", Text: u.Count(o.StringCount())}}
	if !o.PromisedOn.IsZero() {
		promised := page.Fact{Term: "Promised for", Text: u.Date(o.PromisedOn)}
		if o.PromisedOn > o.DueOn {
			promised.Tone = page.Wait
		}
		all = append(all, promised)
	}
	return all
}

// acts offers what the person may do with the order as it stands.
func (v *storyPage) acts(r *page.Request, story workshop.OrderStory, f *page.Form) {
	o := story.Order
	at := orderPath(o.Code)
	lead, sends := r.May(workshop.Lead), r.May(workshop.Lead, workshop.Winder)
	if lead && o.Status == order.Draft {
		v.Actions = append(v.Actions, page.Button("Confirm", at+"/confirm"))
	}
	if sends && o.Status == order.Wound {
		v.Actions = append(v.Actions, page.Button("Pack", at+"/pack"))
	}
	if sends && (o.Status == order.Wound || o.Status == order.Packed) {
		ship := page.Button("Ship", at+"/ship")
		if o.Status == order.Wound {
			ship = ship.As("second")
		}
		v.Actions = append(v.Actions, ship)
	}
	if lead && (o.Status == order.Draft || o.Open()) {
		v.Actions = append(v.Actions, page.Link("Change", at+"/change"))
	}
	if o.Status == order.Draft || o.Open() {
		v.Actions = append(v.Actions, page.Link("Find its day", at+"/day").As("quiet"))
	}
	if sends && o.Open() && len(story.Good) > 0 {
		v.Reasons = append(v.Reasons, reasonForm{Text: "Pack it short", To: at + "/pack", Say: "It goes with the strings that are wound, and wants no more.",
			Reason: f.Field("reason", "Why it goes short").Required().Unique("pack")})
	}
	if lead && o.Status != order.Shipped && o.Status != order.Cancelled {
		v.Reasons = append(v.Reasons, reasonForm{Text: "Cancel the order", To: at + "/cancel", Danger: true, Say: "Its wire is free again; what was wound for it becomes finished stock. Nothing brings the order back.",
			Reason: f.Field("reason", "Why").Unique("cancel")})
	}
	switch {
	case o.Status == order.Shipped || o.Status == order.Cancelled || lead:
	case sends:
		v.May = "A lead or an owner confirms, changes and cancels orders."
	default:
		v.May = "A lead or an owner confirms, changes and cancels orders; a winder too packs and ships them."
	}
}

func batchColumns(r *page.Request, o order.Order) []page.Column[batch.Batch] {
	u := r.Units()
	return []page.Column[batch.Batch]{
		{Head: "Batch", Cell: func(b batch.Batch) page.Cell { return page.Code(string(b.Code), batchPath(b.Code)) }},
		{Head: "Day", Cell: func(b batch.Batch) page.Cell {
			return page.Cell{Text: u.Date(b.Date), Href: dayPath(b.Date)}
		}},
		{Head: "Machine", Cell: func(b batch.Batch) page.Cell { return page.Text(string(b.Machine)) }},
		{Head: "Recipe", Cell: func(b batch.Batch) page.Cell { return page.Code(string(b.Recipe), "") }},
		{Head: "Strings for it", Number: true, Cell: func(b batch.Batch) page.Cell {
			n := 0
			for _, s := range b.Serves {
				if s.Order == o.Code {
					n += s.Strings
				}
			}
			return page.Text(u.Count(n))
		}},
		{Head: "Spools", Cell: func(b batch.Batch) page.Cell {
			var all []string
			for _, d := range b.Draws {
				all = append(all, string(d.Spool))
			}
			return page.Text(strings.Join(all, ", "))
		}},
	}
}

func madeColumns(r *page.Request) []page.Column[workshop.TracedString] {
	u := r.Units()
	return []page.Column[workshop.TracedString]{
		{Head: "Line, string", Cell: func(t workshop.TracedString) page.Cell { return page.Text(fmt.Sprintf("%d, %d", t.Line, t.Position)) }},
		{Head: "Good", Number: true, Cell: func(t workshop.TracedString) page.Cell { return page.Text(u.Count(t.Strings)) }},
		{Head: "Batch", Cell: func(t workshop.TracedString) page.Cell {
			return page.Cell{Text: string(t.Batch), Href: batchPath(t.Batch), Code: true, Note: u.ShortDate(t.WoundOn) + ", " + t.Person}
		}},
		{Head: "Spool", Cell: func(t workshop.TracedString) page.Cell {
			return page.Cell{Text: string(t.Spool), Href: spoolPath(t.Spool), Code: true, Note: string(t.Wire)}
		}},
		{Head: "Lot", Cell: func(t workshop.TracedString) page.Cell {
			return page.Cell{Text: t.Lot, Href: lotPath(t.Lot), Code: true, Note: t.Supplier}
		}},
		{Head: "Wire, at most", Number: true, Cell: func(t workshop.TracedString) page.Cell { return page.Text(u.Mass(t.Mass()).String()) }},
	}
}

func historyColumns(r *page.Request) []page.Column[workshop.AuditEntry] {
	return []page.Column[workshop.AuditEntry]{
		{Head: "When", Cell: func(e workshop.AuditEntry) page.Cell { return page.Text(r.Units().Moment(e.At)) }},
		{Head: "Who", Cell: func(e workshop.AuditEntry) page.Cell { return page.Text(e.Person) }},
		{Head: "Did", Cell: func(e workshop.AuditEntry) page.Cell {
			if e.Note() {
				return page.Cell{Tags: []page.Tag{{Text: "note"}}}
			}
			return page.Text(e.Action)
		}},
		{Head: "What and why", Cell: func(e workshop.AuditEntry) page.Cell { return page.Text(e.Detail) }},
	}
}

func (p place) confirm(r *page.Request) (page.Reply, error) {
	code := order.Code(r.Param("order"))
	story, err := p.shop.ConfirmOrder(workshop.WithoutDay(r.Ctx()), code)
	return p.done(r, code, confirmed(r, story), err)
}

// confirmed says what a confirmed order has of its wire.
func confirmed(r *page.Request, story workshop.OrderStory) page.Notice {
	code, promised := string(story.Order.Code), ""
	if on := story.Order.PromisedOn; !on.IsZero() {
		promised = " It is promised for " + r.Units().Date(on) + "."
	}
	if lacks := short(story.Wires); lacks != "" {
		return page.Notice{Tone: page.Wait, Text: code + " is confirmed. It is short of " + lacks + "." + promised}
	}
	return page.Done(code + " is confirmed, and its wire is held for it." + promised)
}

func (p place) pack(r *page.Request) (page.Reply, error) {
	return p.act(r, p.shop.PackOrder, "is packed")
}
func (p place) ship(r *page.Request) (page.Reply, error) {
	return p.act(r, p.shop.ShipOrder, "is shipped")
}
func (p place) cancel(r *page.Request) (page.Reply, error) {
	return p.act(r, p.shop.CancelOrder, "is cancelled, and its wire is free again")
}

// act does something to the order of the address, with a reason where one was typed.
func (p place) act(r *page.Request, do func(context.Context, order.Code, string) (workshop.OrderStory, error), did string) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	code := order.Code(r.Param("order"))
	story, err := do(workshop.WithoutDay(r.Ctx()), code, f.Get("reason"))
	return p.done(r, code, page.Done(string(story.Order.Code)+" "+did+"."), err)
}

// done goes back to the order; of one that is not there the error answers.
func (p place) done(r *page.Request, code order.Code, said page.Notice, err error) (page.Reply, error) {
	if err != nil && !known(err) {
		return page.Reply{}, err
	}
	return r.Back(orderPath(code), said, err)
}

func (p place) note(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	code := order.Code(r.Param("order"))
	err = p.shop.NoteOrder(r.Ctx(), code, f.Get("note"))
	if err == nil {
		return r.Back(orderPath(code), page.Done("Noted."), nil)
	}
	if !known(err) {
		return page.Reply{}, err
	}
	if err := f.Refuse(err); err != nil {
		return page.Reply{}, err
	}
	return p.showStory(r, code, f, page.Refused)
}
