package buying

import (
	"cmp"
	"errors"
	"fmt"
	"html/template"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/purchase"
	"windingroom/internal/replenishment"
	"windingroom/internal/web/chart"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// wirePage answers when one wire runs out, and on what that rests.
type wirePage struct {
	page.Frame
	Tabs      []page.Tab
	Head      page.Head
	Tag       page.Tag
	Changed   string
	Answer    string
	Facts     []page.Fact
	Acts      []page.Action
	Balance   page.Chart // none before the first night
	Used      page.Chart
	Events    page.Table
	Terms     []page.Fact
	Breaks    page.Table
	May       bool
	TermsPath string // where the form goes
	Faults    page.Faults
	Fields    []page.Field
	Rows      [][]page.Field
}

func (p place) wire(r *page.Request) (page.Reply, error) {
	return p.showWire(r, page.NewForm(nil), page.Show)
}

func (p place) showWire(r *page.Request, f *page.Form, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	w, err := p.shop.WireBuying(r.Ctx(), material.WireCode(r.Param("wire")))
	if err != nil {
		return page.Reply{}, err
	}
	v := wirePage{Frame: r.Frame(string(w.Wire.Code)), Tabs: tabs(r, "/buying/wires"), May: mayBuy(r), TermsPath: wirePath(w.Wire.Code) + "/terms"}
	v.night(r, w)
	if v.Used, err = usedChart(r, w); err == nil && w.Night != nil {
		v.Balance, err = balanceChart(r, w)
	}
	if err != nil {
		return page.Reply{}, err
	}
	v.Events = page.Plain("events", "What comes and what goes", eventColumns(r), events(w))
	v.Events.Empty = page.Empty{Title: "Nothing known", Text: "No purchase is on its way and no order waits for this wire."}
	v.terms(r, w, f)
	return as(wireTemplate, v), nil
}

// night says what the last night found.
func (v *wirePage) night(r *page.Request, w workshop.WireBuying) {
	u, n := r.Units(), w.Night
	v.Head = page.Head{Place: "Buying", Answer: string(w.Wire.Code) + ": no nightly check yet", Note: "The next nightly check says how long it lasts."}
	if r.Offers(page.Wire) {
		v.Acts = append(v.Acts, page.Link("Its spools", page.Wire.Path+"/wires/"+url.PathEscape(string(w.Wire.Code))))
	}
	if v.May && w.Wire.Supplier != "" {
		v.Acts = append(v.Acts, page.Link("Make a purchase", "/buying/purchases/new?supplier="+w.Wire.Supplier+"&wire="+string(w.Wire.Code)))
	}
	if n == nil {
		return
	}
	v.Tag, v.Changed = levelTags[n.Alert], page.Reworded(r.Units(), n.Changed)
	v.Head.Answer, v.Head.Note = string(w.Wire.Code)+" lasts more than a year", page.Reworded(r.Units(), n.Why)
	if !n.RunOut.IsZero() {
		v.Head.Answer = string(w.Wire.Code) + " runs out on " + u.Date(n.RunOut)
	}
	if a := w.Answer; a != nil {
		v.Answer = fmt.Sprintf("%s, %s: %s", a.Person, u.Moment(a.At), a.Reason)
	}
	v.Facts = append(outFacts(*n, u), page.Fact{Term: "Order by", Text: cmp.Or(u.Date(n.OrderBy), "no need")}, page.Fact{Term: "A purchase takes", Text: page.Plural(n.Protection, "day", "days")})
	for _, m := range []struct {
		term string
		mass measure.Mass
	}{{"On hand", n.OnHand}, {"Allocated", n.Allocated}, {"On order", n.OnOrder}, {"Booked by orders", n.Booked}, {"Order point", n.OrderPoint}, {"Use in a week", n.WeeklyUsage}} {
		v.Facts = append(v.Facts, page.Fact{Term: m.term, Text: u.Mass(m.mass).String()})
	}
	if n.Suggest > 0 {
		v.Facts = append(v.Facts, page.Fact{Term: "The night suggests", Text: u.Bulk(n.Suggest).String()})
	}
	for _, code := range n.AtRisk {
		v.Facts = append(v.Facts, page.Fact{Term: "Order at risk", Text: string(code), Href: orderPath(r, string(code)), Tone: page.Wrong})
	}
}

func balanceChart(r *page.Request, w workshop.WireBuying) (page.Chart, error) {
	u, n := r.Units(), w.Night
	happens := map[calendar.Date][]string{}
	for _, e := range events(w) {
		happens[e.on] = append(happens[e.on], fmt.Sprintf("%s %s", sign(u.Mass(e.mass).String(), e.comes), e.what))
	}
	var list []chart.Day
	for _, p := range n.Balance {
		list = append(list, chart.Day{Date: p.On, Low: u.BulkValue(p.Low), Value: u.BulkValue(p.Expected), High: u.BulkValue(p.High), Event: strings.Join(happens[p.On], "; ")})
	}
	about := chart.About{ID: "balance", Title: "Projected balance", Unit: u.BulkUnit(),
		Desc: fmt.Sprintf("%s, order point %s, seen from %s.", runsOut(*n, u), u.Bulk(n.OrderPoint), u.Date(w.Checks))}
	var across []chart.Level
	if n.OrderPoint > 0 {
		across = []chart.Level{{Name: "order point, " + u.BulkUnit(), Value: u.BulkValue(n.OrderPoint)}}
	}
	return chart.Balance(about, list, "from much use to little use", across, kilos(r))
}

// kilos prints a value of a chart's axis.
func kilos(r *page.Request) func(float64) string {
	return func(v float64) string {
		return strings.Replace(strconv.FormatFloat(v, 'f', 2, 64), "-", "\u2212", 1) + "\u00a0" + r.Units().BulkUnit()
	}
}

func usedChart(r *page.Request, w workshop.WireBuying) (page.Chart, error) {
	u := r.Units()
	var weeks []string
	var values []float64
	var sum measure.Mass
	for _, use := range w.Used {
		weeks = append(weeks, use.From.Time().Format("2 Jan"))
		values = append(values, u.BulkValue(use.Mass))
		sum += use.Mass
	}
	about := chart.About{ID: "used", Title: "Used by week", Desc: fmt.Sprintf("%s in %d weeks.", u.Bulk(sum), len(w.Used)), Unit: u.BulkUnit()}
	return chart.Columns(about, weeks, []chart.Series{{Name: "used", Values: values}}, nil, kilos(r))
}

// event is wire that comes or goes on a day.
type event struct {
	on    calendar.Date
	mass  measure.Mass
	comes bool
	what  string
	href  func(*page.Request) string
}

func events(w workshop.WireBuying) (all []event) {
	for _, c := range w.Coming {
		all = append(all, event{c.DueOn, c.Mass, true, "purchase " + c.Purchase, func(*page.Request) string { return purchasePath(purchase.Code(c.Purchase)) }})
	}
	for _, n := range w.Needs {
		all = append(all, event{n.On, n.Mass, false, "order " + string(n.Order), func(r *page.Request) string { return orderPath(r, string(n.Order)) }})
	}
	slices.SortStableFunc(all, func(a, b event) int { return cmp.Compare(a.on, b.on) })
	return all
}

func sign(text string, comes bool) string {
	if comes {
		return "+" + text
	}
	return "\u2212" + text
}

func eventColumns(r *page.Request) []page.Column[event] {
	u := r.Units()
	return []page.Column[event]{
		{Head: "Day", Cell: func(e event) page.Cell { return page.Text(u.Date(e.on)) }},
		{Head: "Comes or goes, " + u.MassUnit(), Number: true, Cell: func(e event) page.Cell { return page.Text(sign(u.Mass(e.mass).Number, e.comes)) }},
		{Head: "For", Cell: func(e event) page.Cell {
			c := page.Cell{Text: e.what, Href: e.href(r)}
			if e.on < r.Site.Today() {
				c.Tags = []page.Tag{{Text: "past due", Tone: page.Wrong}}
			}
			return c
		}},
	}
}

// breakRows is how many price breaks the form has room for beyond those that stand.
const breakRows = 2

// terms says how the wire is bought, and lets a lead set it.
func (v *wirePage) terms(r *page.Request, w workshop.WireBuying, f *page.Form) {
	u, t := r.Units(), w.Terms
	price := func(b replenishment.Break) string { return u.Money(t.Currency, b.PricePerKg).String() }
	pack := "not known; 1 kg is taken"
	if w.Wire.Pack > 0 {
		pack = u.Bulk(w.Wire.Pack).String()
	}
	v.Terms = []page.Fact{{Term: "Supplier", Text: cmp.Or(w.Wire.Supplier, "none named")}, {Term: "Pack", Text: pack}, {Term: "List price per kg", Text: u.Money(t.Currency, w.Wire.PricePerKg).String()},
		{Term: "Our own minimum", Text: map[bool]string{true: "none", false: u.Mass(t.Minimum).String()}[t.Minimum == 0]}}
	if s := w.From; s != nil {
		v.Terms = append(v.Terms, page.Fact{Term: "It delivers in", Text: fmt.Sprintf("%s ± %s", days(s.Lead.Days), days(s.Lead.SD)), Href: "/buying/suppliers"})
	}
	v.Breaks = page.Plain("breaks", "Price breaks", []page.Column[replenishment.Break]{
		{Head: "From", Number: true, Cell: func(b replenishment.Break) page.Cell { return page.Text(u.Bulk(b.From).String()) }},
		{Head: "Price per kg of the whole line", Number: true, Cell: func(b replenishment.Break) page.Cell { return page.Text(price(b)) }},
	}, t.Breaks)
	v.Breaks.Empty = page.Empty{Text: "No price breaks are known: every amount costs the list price."}
	if !v.May {
		return
	}
	if len(f.Values) == 0 {
		if t.Minimum > 0 {
			f.Values.Set("minimum_g", u.Mass(t.Minimum).Typed())
		}
		for i, b := range t.Breaks {
			f.Values.Set(at("from_kg", i), u.Bulk(b.From).Typed())
			f.Values.Set(at("price_per_kg", i), t.Currency.Text(b.PricePerKg))
		}
	}
	v.Fields = []page.Field{f.Field("minimum_g", "Our own minimum").Number(u.MassUnit()).Hinted("Kept of a wire that was never used.")}
	all := slices.Clone(v.Fields)
	for i := range len(t.Breaks) + breakRows {
		row := []page.Field{f.Field(at("from_kg", i), "From").Number(u.BulkUnit()), f.Field(at("price_per_kg", i), "Price per kg").Number(string(t.Currency))}
		v.Rows, all = append(v.Rows, row), append(all, row...)
	}
	v.Faults = f.Said(all...)
}

// setTerms keeps the minimum and the price breaks of a form; rows that are empty are left out.
func (p place) setTerms(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	u := r.Units()
	form := workshop.TermsForm{Wire: r.Param("wire")}
	if f.Get("minimum_g") != "" {
		form.Minimum = page.Read(f, "minimum_g", u.ParseMass).GramText()
	}
	var rows []int
	for i := range rowsIn(f, "from_kg") {
		if f.Get(at("from_kg", i)) == "" && f.Get(at("price_per_kg", i)) == "" {
			continue
		}
		rows = append(rows, i)
		form.Breaks = append(form.Breaks, workshop.BreakForm{FromKg: page.Read(f, at("from_kg", i), u.ParseBulk).KilogramText(), PricePerKg: f.Get(at("price_per_kg", i))})
	}
	if f.OK() {
		_, err = p.shop.SetTerms(r.Ctx(), form)
	}
	if err == nil && f.OK() {
		return r.Back(wirePath(material.WireCode(form.Wire)), page.Done("The terms of "+form.Wire+" are kept. The next nightly check reckons with them."), nil)
	}
	if errors.Is(err, workshop.ErrForbidden) {
		return page.Reply{}, err
	}
	if err := f.Refuse(inRows(err, rows)); err != nil {
		return page.Reply{}, err
	}
	return p.showWire(r, f, page.Refused)
}
