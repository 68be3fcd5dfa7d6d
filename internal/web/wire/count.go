package wire

import (
	"cmp"
	"fmt"
	"net/url"

	"windingroom/internal/stock"
	"windingroom/internal/web/chart"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// countPage answers which spools to weigh today.
type countPage struct {
	page.Frame
	Tabs []page.Tab
	Head page.Head
	Acts []page.Action
	Scan page.Field
	List page.Table
}

func (p place) count(r *page.Request) (page.Reply, error) {
	list, err := p.shop.ToWeigh(r.Ctx(), r.Site.Today())
	if err != nil {
		return page.Reply{}, err
	}
	v := countPage{Frame: r.Frame("Count"), Tabs: tabs(r, "/wire/count"), Acts: []page.Action{page.Link("How right the books are", "/wire/accuracy")}}
	v.Head = page.Head{Place: "Wire", Answer: "Nothing to weigh today"}
	if n := len(list.Rows); n > 0 {
		v.Head.Answer = page.Plural(n, "spool", "spools") + " to weigh today"
		v.Head.Note = "The riskiest first: what batches count on, and what is worth most and known least."
	}
	v.Scan = page.NewForm(nil).Field("spool", "Spool on the scale").Required().Scanned().Hinted("Scan its label, or type its code. Then the weight, and the next.")
	v.List = page.NewTable(r.Request.URL.Query(), countSpec(r, list), list.Rows)
	return page.Show(countTemplate, v), nil
}

func countSpec(r *page.Request, list workshop.CountList) page.Spec[workshop.CountRow] {
	type row = workshop.CountRow
	u := r.Units()
	columns := []page.Column[row]{
		{Key: "spool", Head: "Spool", Cell: func(c row) page.Cell {
			cell := page.Code(string(c.Spool), spoolPath(c.Spool))
			cell.Tags = spoolTags(c.Balance)
			return cell
		}, Compare: func(a, b row) int { return cmp.Compare(a.Spool, b.Spool) }},
		{Head: "", Cell: func(c row) page.Cell {
			weigh := page.Link("Weigh", "/wire/weigh?"+url.Values{"for": {forCount}, "spool": {string(c.Spool)}}.Encode())
			return page.Cell{Act: &weigh}
		}},
		{Key: "place", Head: "Place", Cell: func(c row) page.Cell { return page.Text(c.Balance.Location) },
			Compare: func(a, b row) int { return cmp.Compare(a.Balance.Location, b.Balance.Location) }},
		{Key: "wire", Head: "Wire", Cell: func(c row) page.Cell {
			return page.Cell{Text: string(c.Balance.Wire), Href: wirePath(c.Balance.Wire), Code: true, Note: "class " + string(c.Class)}
		}, Compare: func(a, b row) int { return cmp.Compare(a.Balance.Wire, b.Balance.Wire) }},
		{Head: "Why", Cell: func(c row) page.Cell { return page.Cell{Text: page.Sentence(whyText(c)), Note: weighedOn(r, c)} }},
	}
	if prices(r) {
		columns = append(columns, page.Column[row]{Key: "risk", Head: "At risk, " + string(list.Currency), Number: true,
			Cell:    func(c row) page.Cell { return page.Text(u.Money(list.Currency, c.AtRisk).Number) },
			Compare: func(a, b row) int { return cmp.Compare(a.AtRisk, b.AtRisk) }})
	}
	columns[1].Head = "Do"
	return page.Spec[row]{ID: "count", Caption: "To weigh today", Path: "/wire/count", Columns: columns,
		Empty: page.Empty{Text: "Spools come up here when batches count on their last grams, or when they have not been weighed for long.", Actions: []page.Action{page.Link("Weigh a spool all the same", "/wire/weigh")}}}
}

// whyText gives the most pressing reason and says how many more there are.
func whyText(c workshop.CountRow) string {
	text := string(c.Reasons[0])
	if c.Reasons[0] == stock.Overdue && c.Overdue > 0 {
		text += fmt.Sprintf(" (%s over)", page.Plural(c.Overdue, "day", "days"))
	}
	return text
}

func weighedOn(r *page.Request, c workshop.CountRow) string {
	if c.WeighedOn.IsZero() {
		return "never weighed since " + r.Units().Date(c.Balance.ReceivedOn)
	}
	return "weighed " + r.Units().Date(c.WeighedOn)
}

// accuracyPage answers how right the books are.
type accuracyPage struct {
	page.Frame
	Tabs  []page.Tab
	Head  page.Head
	Chart *page.Chart
	Stats []page.Stat
	Empty page.Empty
}

// aim is the share of right records that a shop aims at: common practice of cycle counting.
const aim = .95

func (p place) accuracy(r *page.Request) (page.Reply, error) {
	today := r.Site.Today()
	a, err := p.shop.Accuracy(r.Ctx(), today-364, today)
	if err != nil {
		return page.Reply{}, err
	}
	u := r.Units()
	v := accuracyPage{Frame: r.Frame("Record accuracy"), Tabs: tabs(r, "/wire/count"), Head: page.Head{Place: "Wire", Answer: "No spool was weighed yet"}}
	v.Empty = page.Empty{Text: "Once spools are weighed, this page says how often the books were right.", Actions: []page.Action{page.Link("To weigh today", "/wire/count")}}
	share, ok := a.All.Share()
	if !ok {
		return page.Show(accuracyTemplate, v), nil
	}
	v.Head = page.Head{Place: "Wire", Answer: fmt.Sprintf("The books were right for %s of %s weighed", u.Count(a.All.Hits), page.Plural(a.All.Records, "spool", "spools")),
		Note: "Right means: off by no more than 1, 3 or 5 % for the wires of class A, B or C, or by no more than the scale can tell. Of the last 365 days."}
	for _, c := range a.Classes {
		s := page.Stat{Label: "Class " + string(c.Class), Number: "–", Note: "none weighed"}
		if share, ok := c.Share(); ok {
			q := u.Percent(share)
			s = page.Stat{Label: s.Label, Number: q.Number, Unit: q.Unit, Note: fmt.Sprintf("%d of %d", c.Hits, c.Records), Tone: hitTone(share)}
		}
		v.Stats = append(v.Stats, s)
	}
	var months []string
	series := chart.Series{Name: "records that were right"}
	for _, m := range a.Months {
		share, _ := m.Share()
		months, series.Values = append(months, m.Month), append(series.Values, 100*share)
	}
	c, err := chart.Columns(chart.About{ID: "accuracy", Title: "Records that were right, by month", Unit: "%",
		Desc: fmt.Sprintf("Over the whole year %s were right; %s is aimed at.", u.Percent(share), u.Percent(aim))},
		months, []chart.Series{series}, []chart.Level{{Name: "aim", Value: 100 * aim}}, func(v float64) string { return u.Percent(v / 100).String() })
	v.Chart = &c
	return page.Show(accuracyTemplate, v), err
}

func hitTone(share float64) page.Tone {
	if share < aim {
		return page.Wait
	}
	return page.Good
}
