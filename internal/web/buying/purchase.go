package buying

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"net/url"
	"strconv"

	"windingroom/exports"
	"windingroom/internal/calendar"
	"windingroom/internal/money"
	"windingroom/internal/problem"
	"windingroom/internal/purchase"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// purchasePage answers how one purchase stands and what to do with it.
type purchasePage struct {
	page.Frame
	Tabs     []page.Tab
	Head     page.Head
	Tag      page.Tag
	Acts     []page.Action
	Send     *askForm
	End      *askForm
	Facts    []page.Fact
	Lines    page.Table
	Receipts page.Table
	Steps    page.Table
}

// askForm is a form of a few fields behind a summary.
type askForm struct {
	To, Summary, Text, Button string
	Warning                   string
	Open, Danger              bool
	Version                   int
	Fields                    []page.Field
}

func code(r *page.Request) purchase.Code { return purchase.Code(r.Param("purchase")) }

func (p place) purchase(r *page.Request) (page.Reply, error) {
	story, err := p.shop.Purchase(r.Ctx(), code(r))
	if err != nil {
		return page.Reply{}, err
	}
	steps, err := p.shop.PurchaseHistory(r.Ctx(), story.Code)
	if err != nil {
		return page.Reply{}, err
	}
	u := r.Units()
	v := purchasePage{Frame: r.Frame(string(story.Code)), Tabs: tabs(r, "/buying/purchases"), Tag: statusTag(story.Status)}
	v.Head = page.Head{Place: "Buying", Answer: standing(story, r), Note: story.Note}
	v.Facts = purchaseFacts(story, r)
	v.acts(r, story)
	v.Lines = page.Plain("lines", "What is ordered", lineColumns(r, story.Currency), story.Lines)
	v.Receipts = page.Plain("receipts", "What came", receiptColumns(r, story.Currency), story.Receipts)
	v.Receipts.Empty = page.Empty{Text: "Nothing has come yet."}
	v.Steps = page.Plain("steps", "What was done", []page.Column[workshop.AuditEntry]{
		{Head: "When", Cell: func(e workshop.AuditEntry) page.Cell { return page.Text(u.Moment(e.At)) }},
		{Head: "Who", Cell: func(e workshop.AuditEntry) page.Cell { return page.Text(e.Person) }},
		{Head: "Did", Cell: func(e workshop.AuditEntry) page.Cell { return page.Text(e.Action) }},
		{Head: "What and why", Cell: func(e workshop.AuditEntry) page.Cell { return page.Text(page.Reworded(u, e.Detail)) }},
	}, steps)
	return page.Show(purchaseTemplate, v), nil
}

// standing is how the purchase stands, in one sentence.
func standing(p workshop.PurchaseStory, r *page.Request) string {
	from := string(p.Code) + " from " + cmp.Or(p.From.Name, p.Supplier)
	due := r.Units().Date(p.DueOn())
	switch {
	case p.Status == purchase.Proposed:
		return from + " is to be looked at and sent"
	case p.Open() && p.DueOn() < r.Site.Today():
		return from + " was due on " + due
	case p.Open():
		return from + " comes on " + due
	}
	return from + " is " + string(p.Status)
}

func purchaseFacts(p workshop.PurchaseStory, r *page.Request) []page.Fact {
	u := r.Units()
	amount := func(m money.Minor) string { return u.Money(p.Currency, m).String() }
	all := []page.Fact{{Term: "Total", Text: amount(p.Total())}, {Term: "Freight of it", Text: amount(p.Freight)}}
	minimum := page.Fact{Term: "Order minimum", Text: amount(p.From.OrderMinimum)}
	if p.BelowMinimum() {
		minimum.Text, minimum.Tone = minimum.Text+": the lines stay below it", page.Wait
	}
	all = append(all, minimum, page.Fact{Term: "Made", Text: u.Moment(p.MadeAt) + " by " + p.MadeBy})
	if !p.OrderedOn.IsZero() {
		all = append(all, page.Fact{Term: "Ordered on", Text: u.Date(p.OrderedOn)})
	}
	if !p.PromisedOn.IsZero() {
		all = append(all, page.Fact{Term: "Promised for", Text: u.Date(p.PromisedOn)})
	}
	if len(p.Receipts) > 0 {
		f := page.Fact{Term: "Price difference so far", Text: amount(p.Difference()), Tone: page.Good}
		if p.Difference() > 0 {
			f.Text, f.Tone = "+"+f.Text+" beyond the ordered prices", page.Wait
		}
		all = append(all, f)
	}
	return all
}

// acts are what the person may do with it as it stands.
func (v *purchasePage) acts(r *page.Request, p workshop.PurchaseStory) {
	at, buy, u := purchasePath(p.Code), mayBuy(r), r.Units()
	f := page.NewForm(nil)
	if p.Open() && r.May(workshop.Lead, workshop.Bookkeeper) {
		v.Acts = append(v.Acts, page.Action{Text: "Receive wire for it", To: at + "/receive"})
	}
	if buy && (p.Status == purchase.Proposed || p.Open()) {
		v.Acts = append(v.Acts, page.Link("Change it", at+"/change"))
	}
	v.Acts = append(v.Acts, page.Action{Text: "Spreadsheet for the supplier", To: at + "/order.xlsx", Kind: "second", File: true})
	if len(p.Receipts) > 0 {
		v.Acts = append(v.Acts, page.Action{Text: "Labels of its spools", To: at + "/labels.xlsx", Kind: "second", File: true})
	}
	if !buy {
		return
	}
	if p.Status == purchase.Proposed {
		promised := f.Field("promised_on", "Promised for").Date().Hinted("Empty: the supplier named no day; its usual days count.").Starting(day(p.PromisedOn))
		v.Send = &askForm{To: at + "/send", Button: "It is sent", Version: p.Version, Fields: []page.Field{promised},
			Text: "Send the spreadsheet to the supplier, then note it here: from then on its wire is on order."}
		if p.BelowMinimum() {
			short := p.From.OrderMinimum - p.Total() + p.Freight
			v.Send.Fields = append(v.Send.Fields, f.Field("confirm", "Send it all the same").Required().Check(),
				f.Field("reason", "Why").Required().Unique("send").Hinted("Such as what was agreed with the supplier. It stays with the purchase."))
			v.Send.Warning = fmt.Sprintf("%s takes orders of %s and more: %s are missing. Add to it, or say why it goes all the same.", cmp.Or(p.From.Name, p.Supplier),
				u.Money(p.Currency, p.From.OrderMinimum), u.Money(p.Currency, short))
		}
	}
	reason := f.Field("reason", "Reason")
	switch p.Status {
	case purchase.Proposed, purchase.Sent:
		v.End = &askForm{To: at + "/cancel", Summary: "Cancel it", Button: "Cancel the purchase", Danger: true, Fields: []page.Field{reason}, Text: "Nothing will come of it. The next nightly check may ask for its wire again."}
	case purchase.PartReceived:
		v.End = &askForm{To: at + "/close", Summary: "Close it", Button: "Close the purchase", Danger: true, Fields: []page.Field{reason}, Text: "No more will come of it. What is outstanding is on order no longer."}
	}
}

func day(d calendar.Date) string {
	if d.IsZero() {
		return ""
	}
	return d.String()
}

func lineColumns(r *page.Request, c money.Currency) []page.Column[purchase.Line] {
	u := r.Units()
	return []page.Column[purchase.Line]{
		{Head: "Wire", Cell: func(l purchase.Line) page.Cell { return page.Code(string(l.Wire), wirePath(l.Wire)) }},
		{Head: "Packs", Number: true, Cell: func(l purchase.Line) page.Cell { return page.Text(u.Count(l.Packs)) }},
		{Head: u.BulkUnit(), Number: true, Cell: func(l purchase.Line) page.Cell { return page.Text(u.Bulk(l.Mass).Number) }},
		{Head: "Per kg, " + string(c), Number: true, Cell: func(l purchase.Line) page.Cell { return page.Text(u.Money(c, l.PricePerKg).Number) }},
		{Head: "Cost, " + string(c), Number: true, Cell: func(l purchase.Line) page.Cell { return page.Text(u.Money(c, l.Cost()).Number) }},
		{Head: "Came", Cell: func(l purchase.Line) page.Cell {
			text := fmt.Sprintf("%s of %s", u.Bulk(l.Received), u.Bulk(l.Mass))
			fill := page.Of(string(l.Wire)+": "+text, l.Received.Kilograms(), l.Mass.Kilograms())
			note := text
			if l.Received > 0 && l.Outstanding() == 0 {
				note += ", complete"
			}
			return page.Cell{Fill: &fill, Note: note}
		}},
	}
}

func receiptColumns(r *page.Request, c money.Currency) []page.Column[purchase.Receipt] {
	u := r.Units()
	return []page.Column[purchase.Receipt]{
		{Head: "Spool", Cell: func(x purchase.Receipt) page.Cell {
			if !r.Offers(page.Wire) {
				return page.Code(string(x.Spool), "")
			}
			return page.Code(string(x.Spool), page.Wire.Path+"/spools/"+url.PathEscape(string(x.Spool)))
		}},
		{Head: "Wire", Cell: func(x purchase.Receipt) page.Cell { return page.Code(string(x.Wire), wirePath(x.Wire)) }},
		{Head: "Received", Cell: func(x purchase.Receipt) page.Cell { return page.Text(u.Date(x.ReceivedOn)) }},
		{Head: "Net, " + u.MassUnit(), Number: true, Cell: func(x purchase.Receipt) page.Cell { return page.Text(u.Mass(x.Mass).Number) }},
		{Head: "Cost, " + string(c), Number: true, Cell: func(x purchase.Receipt) page.Cell { return page.Text(u.Money(c, x.Cost).Number) }},
		{Head: "At the ordered price", Number: true, Cell: func(x purchase.Receipt) page.Cell { return page.Text(u.Money(c, x.Expected).Number) }},
		{Head: "Difference", Number: true, Cell: func(x purchase.Receipt) page.Cell { return page.Text(u.Money(c, x.Difference()).Number) }},
	}
}

// send notes that the version that was seen has gone to the supplier.
func (p place) send(r *page.Request) (page.Reply, error) {
	version, _ := strconv.Atoi(r.PostForm("version")) // anything else is no version that was seen
	how := workshop.Sending{Version: max(version, 1), Confirmed: r.PostForm("confirm") == "yes", Reason: r.PostForm("reason")}
	var err error
	if text := r.PostForm("promised_on"); text != "" {
		if how.PromisedOn, err = calendar.ParseDate(text); err != nil {
			return r.Back(purchasePath(code(r)), page.Notice{}, problem.At("promised_on", err))
		}
	}
	story, err := p.shop.SendPurchase(r.Ctx(), code(r), how)
	if errors.Is(err, workshop.ErrChanged) {
		r.Say(page.Notice{Tone: page.Wrong, Text: "Not noted as sent: " + p.lastStep(r, code(r)) + " after you opened the page. Look at it again, then send it."})
		return page.Redirect(purchasePath(code(r))), nil
	}
	return r.Back(purchasePath(code(r)), page.Done(fmt.Sprintf("Sent: %s is on order and due on %s.", story.Code, r.Units().Date(story.DueOn()))), err)
}

// lastStep says who did what last to a purchase.
func (p place) lastStep(r *page.Request, c purchase.Code) string {
	steps, err := p.shop.PurchaseHistory(r.Ctx(), c)
	if err != nil || len(steps) == 0 {
		return "somebody changed it"
	}
	return fmt.Sprintf("%s did “%s” at %s", steps[0].Person, steps[0].Action, r.Units().Clock(steps[0].At))
}

func (p place) cancel(r *page.Request) (page.Reply, error) {
	_, err := p.shop.CancelPurchase(r.Ctx(), code(r), r.PostForm("reason"))
	return r.Back(purchasePath(code(r)), page.Done("Cancelled: nothing will come of it."), err)
}

func (p place) close(r *page.Request) (page.Reply, error) {
	_, err := p.shop.ClosePurchase(r.Ctx(), code(r), r.PostForm("reason"))
	return r.Back(purchasePath(code(r)), page.Done("Closed: no more will come of it."), err)
}

// order is the spreadsheet for the supplier.
func (p place) order(r *page.Request) (page.Reply, error) {
	story, err := p.shop.Purchase(r.Ctx(), code(r))
	if err != nil {
		return page.Reply{}, err
	}
	var book bytes.Buffer
	if err := exports.PurchaseOrder(&book, story); err != nil {
		return page.Reply{}, err
	}
	return page.File(string(story.Code)+".xlsx", page.Workbook, book.Bytes()), nil
}

// labels are those of the spools that came for it.
func (p place) labels(r *page.Request) (page.Reply, error) {
	labels, err := p.shop.PurchaseLabels(r.Ctx(), code(r))
	if err != nil {
		return page.Reply{}, err
	}
	var book bytes.Buffer
	if err := exports.SpoolLabels(&book, labels); err != nil {
		return page.Reply{}, err
	}
	return page.File("labels-"+string(labels[0].Code)+".xlsx", page.Workbook, book.Bytes()), nil
}
