package books

import (
	"cmp"
	"errors"
	"html/template"
	"net/url"

	"windingroom/internal/calendar"
	"windingroom/internal/purchase"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// invoicesPage answers what suppliers are still to invoice.
type invoicesPage struct {
	page.Frame
	Head   page.Head
	Tabs   []page.Tab
	Table  page.Table
	Faults page.Faults
	Fields []page.Field
}

func (p place) invoices(r *page.Request) (page.Reply, error) {
	return p.showInvoices(r, page.NewForm(url.Values{"purchase": {r.Query("purchase")}}), page.Show)
}

func (p place) showInvoices(r *page.Request, f *page.Form, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	due, err := p.shop.InvoicesDue(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	v := invoicesPage{Frame: r.Frame("Invoices due"), Tabs: tabs(r, "/books/invoices"), Head: dueHead(r, due)}
	v.Table = page.NewTable(r.Request.URL.Query(), dueSpec(r, due), due.Purchases)
	v.Fields = invoiceFields(r, f, due)
	v.Faults = f.Said(v.Fields...)
	return as(invoicesTemplate, v), nil
}

func dueHead(r *page.Request, due workshop.InvoicesDue) page.Head {
	if len(due.Purchases) == 0 {
		return page.Head{Place: "Books", Answer: "Every delivery is invoiced as it came"}
	}
	return page.Head{Place: "Books", Answer: page.Plural(len(due.Purchases), "purchase is not invoiced as it came", "purchases are not invoiced as they came"),
		Note: r.Units().Money(due.Currency, due.Open()).String() + " of wire is here and not invoiced yet. Ask the supplier, or note the invoice below."}
}

func dueSpec(r *page.Request, due workshop.InvoicesDue) page.Spec[workshop.NotInvoiced] {
	type row = workshop.NotInvoiced
	f := figures{r: r, currency: due.Currency}
	open := func(n row) int64 { return int64(n.Received - n.Invoiced) }
	return page.Spec[row]{ID: "due", Caption: "Received and not invoiced, in " + string(due.Currency), Path: "/books/invoices", Search: true,
		Empty: page.Empty{Title: "Nothing is due", Text: "A purchase stands here from its delivery until its invoice asks for what came."},
		Columns: []page.Column[row]{
			{Key: "purchase", Head: "Purchase", Cell: func(n row) page.Cell {
				c := page.Code(string(n.Purchase), bought(r, n.Purchase))
				c.Note = n.Supplier
				return c
			}, Compare: func(a, b row) int { return cmp.Compare(a.Purchase, b.Purchase) }},
			{Key: "last", Head: "Last receipt", Cell: func(n row) page.Cell { return page.Text(r.Units().Date(n.LastOn)) }, Compare: func(a, b row) int { return cmp.Compare(a.LastOn, b.LastOn) }},
			{Key: "mass", Head: "Came, " + r.Units().BulkUnit(), Number: true, Cell: func(n row) page.Cell { return page.Text(r.Units().Bulk(n.Mass).Number) },
				Compare: func(a, b row) int { return cmp.Compare(a.Mass, b.Mass) }},
			{Key: "received", Head: "Worth", Number: true, Cell: func(n row) page.Cell { return page.Text(f.money(n.Received)) }, Compare: func(a, b row) int { return cmp.Compare(a.Received, b.Received) }},
			{Key: "invoiced", Head: "Invoiced", Number: true, Cell: func(n row) page.Cell { return page.Text(f.money(n.Invoiced)) }, Compare: func(a, b row) int { return cmp.Compare(a.Invoiced, b.Invoiced) }},
			{Key: "open", Head: "Still due", Number: true, Cell: func(n row) page.Cell {
				c := page.Text(f.money(n.Received - n.Invoiced))
				if open(n) < 0 {
					c.Tags = []page.Tag{{Text: "asks too much", Tone: page.Wrong}}
				}
				return c
			}, Compare: func(a, b row) int { return cmp.Compare(open(a), open(b)) }},
			{Head: "Invoice", Cell: func(n row) page.Cell {
				return page.Cell{Text: "Note", Href: "/books/invoices?purchase=" + url.QueryEscape(string(n.Purchase)) + "#f-number"}
			}},
		}}
}

// bought is the page of a purchase, where there are such pages.
func bought(r *page.Request, code purchase.Code) string {
	if !r.Offers(page.Buying) {
		return ""
	}
	return "/buying/purchases/" + url.PathEscape(string(code))
}

func invoiceFields(r *page.Request, f *page.Form, due workshop.InvoicesDue) []page.Field {
	var codes []string
	for _, n := range due.Purchases {
		codes = append(codes, string(n.Purchase))
	}
	today := r.Site.Today().String()
	on := f.Field("on", "Day of the invoice").Date().Required().Starting(today)
	on.Max = today
	return []page.Field{f.Field("purchase", "Purchase").Required().Suggesting(codes...), f.Field("number", "Supplier's number").Required(),
		f.Field("amount", "Amount").Number(string(due.Currency)).Required().Hinted("Freight included. Below zero for a credit note."), on,
		f.Field("corrects", "Corrects invoice").Hinted("The number of an earlier invoice that this one puts right."),
		f.Field("part", "Part: other invoices are to come for what came").Check(), f.Field("confirm", "A difference of more than a quarter is right").Check()}
}

// invoice notes a supplier's invoice.
func (p place) invoice(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	on := page.Read(f, "on", calendar.ParseDate)
	if f.Get("purchase") == "" {
		f.Mark("purchase", errors.New("is needed: its code stands on the order"))
	}
	if f.OK() {
		noted, err := p.shop.InvoicePurchase(r.Ctx(), workshop.NewInvoice{Purchase: purchase.Code(f.Get("purchase")), Number: f.Get("number"), Amount: f.Get("amount"), On: on,
			Part: f.Get("part") != "", Corrects: f.Get("corrects"), Confirmed: f.Get("confirm") != ""})
		if err == nil {
			return r.Back("/books/invoices", page.Done("Invoice "+noted.Number+" of "+string(noted.Purchase)+" is noted."), nil)
		}
		if !keeps(r) {
			return page.Reply{}, err
		}
		if err := f.Refuse(err); err != nil {
			return page.Reply{}, err
		}
	}
	return p.showInvoices(r, f, page.Refused)
}
