package wire

import (
	"bytes"
	"fmt"
	"net/url"
	"strconv"
	"strings"

	"windingroom/exports"
	"windingroom/internal/purchase"
	"windingroom/internal/stock"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// labelsPage shows labels as they print, eight to a page of A4 or Letter.
type labelsPage struct {
	page.Frame
	Tabs   []page.Tab
	Head   page.Head
	Faults page.Faults
	Fields []page.Field
	Book   page.Action
	Before []int // places of the first sheet that are used already
	Labels []label
}

// label is what one says.
type label struct {
	Code, Wire, Alloy, Form, Metric string
	Lot, Received, Net, Tare, Place string
	Bars, Square                    symbol
}

func deliveryPath(code string) string {
	return "/wire/labels?" + url.Values{"delivery": {code}}.Encode()
}

// labelsAsked gives the labels that an address asks for; none where it asks for nothing.
func (p place) labelsAsked(r *page.Request) ([]workshop.SpoolLabel, error) {
	query := r.Request.URL.Query()
	if d := query.Get("delivery"); d != "" {
		return p.shop.DeliveryLabels(r.Ctx(), d)
	}
	if code := query.Get("purchase"); code != "" {
		return p.shop.PurchaseLabels(r.Ctx(), purchase.Code(code))
	}
	var codes []stock.SpoolCode
	for _, text := range query["spool"] {
		for _, code := range strings.FieldsFunc(text, func(c rune) bool { return strings.ContainsRune(" ,;\n\r\t", c) }) {
			codes = append(codes, stock.SpoolCode(code))
		}
	}
	if len(codes) == 0 {
		return nil, nil
	}
	return p.shop.SpoolLabels(r.Ctx(), codes)
}

func (p place) labels(r *page.Request) (page.Reply, error) {
	f := page.NewForm(r.Request.URL.Query())
	v := labelsPage{Frame: r.Frame("Labels"), Tabs: tabs(r, "/wire/labels"), Head: page.Head{Place: "Wire", Answer: "Labels for which spools?"}}
	v.Scripts = []string{printScript}
	list, err := p.labelsAsked(r)
	as := page.Show
	if err != nil {
		if err := refuse(f, err); err != nil {
			return page.Reply{}, err
		}
		as = page.Refused
	}
	spools := strings.Join(f.Values["spool"], " ")
	field := page.Field{ID: "f-spool", Name: "spool", Label: "Spools", Type: "text", Value: spools, Error: f.Wrong["spool"], Hint: "Scan or type their codes, with a space between.", Complete: "off"}
	start := f.Field("start", "First free place of the sheet").Whole("").Starting("1").Hinted("1 to 8, from the left and from above: a sheet begun before is used up.")
	for i := range startOf(f) {
		v.Before = append(v.Before, i+1)
	}
	start.Error = f.Wrong["start"]
	v.Fields = []page.Field{field, f.Field("delivery", "Or a whole delivery"), start}
	if start.Error != "" {
		as = page.Refused
	}
	v.Faults = f.Said(v.Fields...)
	if len(list) > 0 {
		v.Head.Answer = page.Plural(len(list), "label", "labels")
		v.Head.Note = "Eight to a page, on A4 or Letter, at 100 % of size."
		v.Book = page.Action{Text: "As a workbook", To: "/wire/labels.xlsx?" + r.Request.URL.Query().Encode(), Kind: "second", File: true}
	}
	for _, l := range list {
		made, err := newLabel(r, l)
		if err != nil {
			return page.Reply{}, err
		}
		v.Labels = append(v.Labels, made)
	}
	return as(labelsTemplate, v), nil
}

// onSheet is how many labels a sheet holds.
const onSheet = 8

// startOf gives how many places of the first sheet are used already.
func startOf(f *page.Form) int {
	text := f.Get("start")
	if text == "" {
		return 0
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > onSheet {
		f.Mark("start", fmt.Errorf("%q is no place from 1 to %d", text, onSheet))
		return 0
	}
	return n - 1
}

// newLabel puts a label into words. The size stands there in both units, whatever the shop reckons in: a label travels.
func newLabel(r *page.Request, l workshop.SpoolLabel) (label, error) {
	u := r.Units()
	inch, mm := u, u
	inch.Metric, mm.Metric = false, true
	made := label{
		Code: string(l.Code), Wire: string(l.Wire), Alloy: l.Alloy, Form: formText(inch, l.Form), Metric: sizeText(mm, l.Form),
		Lot: l.Lot, Received: l.ReceivedOn.Time().Format("2 Jan 2006"), Net: u.Mass(l.Net()).String(), Tare: u.Mass(l.Tare).String(), Place: l.Location,
	}
	var err error
	if made.Bars, err = barCode(made.Code); err != nil {
		return made, err
	}
	made.Square, err = qrCode(made.Code)
	return made, err
}

func (p place) labelBook(r *page.Request) (page.Reply, error) {
	list, err := p.labelsAsked(r)
	if err != nil {
		return page.Reply{}, err
	}
	var book bytes.Buffer
	if err := exports.SpoolLabels(&book, list); err != nil {
		return page.Reply{}, err
	}
	return page.File("spool-labels.xlsx", page.Workbook, book.Bytes()), nil
}
