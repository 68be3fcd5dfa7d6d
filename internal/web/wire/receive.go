package wire

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"html/template"
	"net/http"
	"strconv"
	"strings"

	"windingroom/internal/intake"
	"windingroom/internal/problem"
	"windingroom/internal/stock"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// receivePage takes in one spool or many: written down, then looked at with the cost of each, then posted.
type receivePage struct {
	page.Frame
	Tabs    []page.Tab
	Head    page.Head
	Faults  page.Faults
	Invoice []page.Field
	Rows    []deliveryRow
	Split   *page.Table // what would be taken in; nil before it was asked for
	Sum     string
	Shown   string // of what the split was made
}

// deliveryRow is the fields of one spool.
type deliveryRow struct {
	Number int
	Fields []page.Field
}

const (
	rowsAdded = 4
	mostRows  = 100
)

// columns are the fields of a row; each is named with the row's number behind, such as gross_g-2.
var columns = []string{"spool", "wire", "lot", "gross_g", "tare_g", "cost", "location"}

func (p place) receive(r *page.Request) (page.Reply, error) {
	return p.showReceive(r, page.NewForm(nil), 1, nil, page.Show)
}

func (p place) received(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	facts, err := p.shop.Receiving(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	n := rowsOf(f)
	if f.Get("act") == "more" {
		return p.showReceive(r, f, n+rowsAdded, nil, page.Show)
	}
	d := readDelivery(r, f, facts, n)
	if !f.OK() {
		return p.showReceive(r, f, n, nil, page.Refused)
	}
	if f.Get("act") == "post" && f.Get("shown") == d.hash() {
		out, err := p.post(r, d)
		if err == nil {
			return takenIn(r, out), nil
		}
		if err := d.refuse(f, err); err != nil {
			return page.Reply{}, err
		}
		return p.showReceive(r, f, n, nil, page.Refused)
	}
	split, err := p.shop.SplitDelivery(r.Ctx(), d.delivery(), d.invoice)
	if err != nil {
		if err := d.refuse(f, err); err != nil {
			return page.Reply{}, err
		}
		return p.showReceive(r, f, n, nil, page.Refused)
	}
	return p.showReceive(r, f, n, &split, page.Show)
}

// rowsOf gives how many rows a form has.
func rowsOf(f *page.Form) int {
	n, _ := strconv.Atoi(f.Get("rows")) // anything else is one
	return min(mostRows, max(1, n))
}

// delivery is what a form says, with the rows that are filled.
type delivery struct {
	rows    []int // of the form
	spools  []intake.SpoolText
	invoice intake.Invoice
	code    string
}

// readDelivery takes the filled rows of a form: where no more stands in one than the code it was proposed, it is left empty.
func readDelivery(r *page.Request, f *page.Form, facts workshop.Receiving, n int) delivery {
	d := delivery{invoice: intake.Invoice{Cost: amountText(f.Get("cost")), Freight: amountText(f.Get("freight"))}, code: f.Get("delivery")}
	for i := range n {
		get := func(column string) string { return f.Get(column + "-" + strconv.Itoa(i)) }
		if get("wire")+get("lot")+get("gross_g")+get("tare_g")+get("cost") == "" && (i > 0 || n > 1) {
			continue
		}
		s := intake.SpoolText{Spool: get("spool"), Wire: get("wire"), Lot: get("lot"), ReceivedOn: f.Get("received_on"), Cost: amountText(get("cost")), Location: get("location")}
		s.Gross = grams(r, f, "gross_g-"+strconv.Itoa(i))
		if t := typeNamed(facts.Types, get("tare_g")); t != "" {
			s.SpoolType = t
		} else {
			s.Tare = grams(r, f, "tare_g-"+strconv.Itoa(i))
		}
		d.rows, d.spools = append(d.rows, i), append(d.spools, s)
	}
	if len(d.spools) == 0 {
		f.Other = append(f.Other, "Write down at least one spool.")
	}
	if len(d.spools) == 1 && !d.together() { // one spool: the cost of all is its own
		if d.spools[0].Cost == "" {
			d.spools[0].Cost = d.invoice.Cost
			d.invoice.Cost = ""
		}
	}
	return d
}

// amountText leaves the spaces between digits away.
func amountText(text string) string { return strings.Join(strings.Fields(text), "") }

// grams reads a mass in the shop's unit, or in one that it names, and gives it as an import file has it.
func grams(r *page.Request, f *page.Form, name string) string {
	if f.Get(name) == "" {
		return ""
	}
	return page.Read(f, name, r.Units().ParseMass).GramText()
}

// typeNamed gives a spool type by its name, as the shop spells it.
func typeNamed(types []stock.SpoolType, name string) string {
	for _, t := range types {
		if strings.EqualFold(t.Name, name) {
			return t.Name
		}
	}
	return ""
}

// together says whether it is a delivery, and not a single spool.
func (d delivery) together() bool {
	return len(d.spools) > 1 || d.code != "" || d.invoice.Freight != ""
}

func (d delivery) delivery() *intake.Delivery {
	if d.together() {
		return intake.SeveralSpools(d.spools)
	}
	return intake.OneSpool(d.spools[0])
}

// hash stands for the figures that a split was made of, so that no others are posted unseen.
func (d delivery) hash() string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%q %q %q", d.spools, d.invoice, d.code))
	return hex.EncodeToString(sum[:])
}

// refuse notes what is wrong beside the fields of the form.
func (d delivery) refuse(f *page.Form, err error) error {
	p := problem.From(err)
	if p.Status >= http.StatusInternalServerError || p.Status == http.StatusForbidden {
		return err
	}
	if len(p.Errors) == 0 {
		f.Other = append(f.Other, p.Sentence())
	}
	for _, e := range p.Errors {
		column, row := e.Location, 0
		if rest, ok := strings.CutPrefix(e.Location, "spools["); ok {
			number, name, _ := strings.Cut(rest, "].")
			row, _ = strconv.Atoi(number)
			column = name
		} else if d.together() { // of the whole
			f.Wrong[column] = e.Message
			continue
		}
		switch column {
		case "received_on":
			f.Wrong[column] = e.Message
			continue
		case "spool_type":
			column = "tare_g"
		case "cost":
			if !d.together() {
				f.Wrong[column] = e.Message
				continue
			}
		}
		if row < len(d.rows) {
			f.Wrong[column+"-"+strconv.Itoa(d.rows[row])] = e.Message
		}
	}
	if f.OK() {
		f.Other = append(f.Other, p.Sentence())
	}
	return nil
}

func (p place) post(r *page.Request, d delivery) (workshop.Received, error) {
	if d.together() {
		return p.shop.ReceiveDelivery(r.Ctx(), d.delivery(), d.invoice, d.code)
	}
	return p.shop.ReceiveSpool(r.Ctx(), d.delivery())
}

// takenIn goes on to the labels.
func takenIn(r *page.Request, out workshop.Received) page.Reply {
	to := labelPath(out.Spools[0].Code)
	text := string(out.Spools[0].Code) + " is on the shelf."
	if out.Delivery != "" {
		to = deliveryPath(out.Delivery)
		text = page.Plural(len(out.Spools), "spool", "spools") + " of delivery " + out.Delivery + " on the shelf."
	}
	if out.Before {
		text = "It was taken in before with these figures: nothing is changed."
	}
	r.Say(page.Done(text + " Stick the labels on now."))
	return page.Redirect(to)
}

func (p place) showReceive(r *page.Request, f *page.Form, n int, split *workshop.Received, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	facts, err := p.shop.Receiving(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	v := receivePage{Frame: r.Frame("Receive wire"), Tabs: tabs(r, "/wire/receive"), Head: page.Head{Place: "Wire", Answer: "What came in?",
		Note: "One spool, or all that came together. You see what each costs before anything is posted."}}
	v.Scripts = []string{page.ProposedScript}
	v.Invoice = []page.Field{
		f.Field("received_on", "Came on").Date().Starting(r.Site.Today().String()),
		f.Field("cost", "Cost of all wire").Number(string(facts.Currency)).Hinted("Without carriage. Empty where each spool has its own."),
		f.Field("freight", "Carriage").Number(string(facts.Currency)).Hinted("Split by net mass."),
		f.Field("delivery", "Delivery").Hinted("Its number on the papers; empty: one is made."),
	}
	all := v.Invoice
	for i := range min(n, mostRows) {
		row := deliveryRow{Number: i + 1, Fields: rowFields(r, f, facts, i, n)}
		v.Rows, all = append(v.Rows, row), append(all[:len(all):len(all)], row.Fields...)
	}
	v.Faults = f.Said(all...)
	if split != nil {
		v.Head.Answer = page.Plural(len(split.Spools), "spool", "spools") + " for " + r.Units().Money(split.Currency, split.Cost+split.Freight).String()
		v.Head.Note = "Nothing is posted yet."
		v.Split, v.Sum = splitTable(r, *split), splitSum(r, *split)
		v.Shown = readDelivery(r, f, facts, n).hash()
	}
	return as(receiveTemplate, v), nil
}

func rowFields(r *page.Request, f *page.Form, facts workshop.Receiving, i, n int) []page.Field {
	u := r.Units()
	wires, types := make([]string, len(facts.Wires)), make([]string, len(facts.Types))
	for k, w := range facts.Wires {
		wires[k] = string(w.Code)
	}
	for k, t := range facts.Types {
		types[k] = t.Name
	}
	code := ""
	if codes := facts.Codes(i + 1); len(codes) > 0 {
		code = codes[i]
	}
	labels := map[string]func(page.Field) page.Field{
		"spool":   func(f page.Field) page.Field { f.Label = "Spool"; return f.Starting(code).Proposing() },
		"wire":    func(f page.Field) page.Field { f.Label = "Wire"; return f.Suggesting(wires...) },
		"lot":     func(f page.Field) page.Field { f.Label = "Lot"; return f },
		"gross_g": func(f page.Field) page.Field { f.Label = "Gross"; return f.Number(u.MassUnit()) },
		"tare_g": func(f page.Field) page.Field {
			f.Label = "Empty spool, or its type"
			f.Unit = u.MassUnit()
			return f.Suggesting(types...)
		},
		"cost":     func(f page.Field) page.Field { f.Label = "Own cost"; return f.Number(string(facts.Currency)) },
		"location": func(f page.Field) page.Field { f.Label = "Place"; return f.Suggesting(facts.Places...) },
	}
	var fields []page.Field
	for _, column := range columns {
		if column == "cost" && n == 1 { // the cost of all wire is its own
			continue
		}
		field := labels[column](f.Field(column+"-"+strconv.Itoa(i), ""))
		field.Complete = "off"
		field.Needed = i == 0 && column != "cost" && column != "location"
		fields = append(fields, field)
	}
	return fields
}

func splitTable(r *page.Request, out workshop.Received) *page.Table {
	u := r.Units()
	t := page.Plain("split", "What would be taken in", []page.Column[stock.Balance]{
		{Head: "Spool", Cell: func(b stock.Balance) page.Cell { return page.Code(string(b.Code), "") }},
		{Head: "Wire", Cell: func(b stock.Balance) page.Cell { return page.Code(string(b.Wire), "") }},
		{Head: "Lot", Cell: func(b stock.Balance) page.Cell { return page.Text(b.Lot) }},
		{Head: "Tare, " + u.MassUnit(), Number: true, Cell: func(b stock.Balance) page.Cell { return massCell(u, b.Tare) }},
		{Head: "Net, " + u.MassUnit(), Number: true, Cell: func(b stock.Balance) page.Cell { return massCell(u, b.Net()) }},
		{Head: "Cost with carriage, " + string(out.Currency), Number: true, Cell: func(b stock.Balance) page.Cell { return page.Text(u.Money(out.Currency, b.Cost).Number) }},
	}, out.Spools)
	return &t
}

func splitSum(r *page.Request, out workshop.Received) string {
	u := r.Units()
	text := u.Money(out.Currency, out.Cost).String() + " for the wire and " + u.Money(out.Currency, out.Freight).String() + " of carriage: the costs of the spools add up to it."
	if out.Before {
		text = "All of it is here already with these figures: taking it in again changes nothing."
	}
	return text
}
