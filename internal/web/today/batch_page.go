package today

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// batchPage answers what one batch is, how far it is, and lets the lead change it.
type batchPage struct {
	page.Frame
	Head     page.Head
	Tags     []page.Tag
	Facts    []page.Fact
	Loads    []loadView
	Cautions []string
	Draws    page.Table
	Orders   page.Table
	Results  page.Table
	Actions  []page.Action
	Change   *changeView // nil where it cannot be changed
	Undo     string      // the last result that can be undone, in words; empty: none
}

// changeView is what a lead may ask of one batch.
type changeView struct {
	Date, Code, Machine string
	Place               int
	Machines            []page.Option
	Pinned, Standing    bool
	Splits              bool
	Most                int // ordered strings that may go to another machine
	Late                int // minutes that it takes longer, so far
}

func (p place) batch(r *page.Request) (page.Reply, error) {
	now, err := p.shop.BatchNow(r.Ctx(), batch.Code(r.Param("batch")))
	if err != nil {
		return page.Reply{}, err
	}
	plan, err := p.shop.Day(r.Ctx(), now.Sheet.Date)
	if err != nil {
		return page.Reply{}, err
	}
	progress, err := p.shop.Progress(r.Ctx(), now.Sheet.Date)
	if err != nil {
		return page.Reply{}, err
	}
	d := day{date: now.Sheet.Date, present: now.Sheet.Date == r.Site.Today(), planned: true, plan: plan, progress: progress, units: r.Units()}
	return page.Show(batchTemplate, newBatchPage(r, d, now)), nil
}

func newBatchPage(r *page.Request, d day, now workshop.BatchNow) batchPage {
	b, u := now.Sheet.Batch, r.Units()
	v := batchPage{Frame: r.Frame(string(b.Code)), Tags: d.tags(b), Loads: loadViews(u, now.Sheet), Cautions: inUnits(u, now.Sheet.Cautions)}
	v.Head = page.Head{Place: fmt.Sprintf("Batch %s, %s", b.Code, u.LongDate(b.Date)), Answer: wantedOf(u, now.Sheet),
		Note: fmt.Sprintf("%s, place %d, %s to %s: setup %s, winding %s.", b.Machine, b.Sequence, d.clock(b.Starts), d.clock(b.Ends), u.Duration(b.Setup), u.Duration(b.Run))}
	v.Facts = []page.Fact{{Term: "Ordered", Text: page.Plural(b.Ordered, "string", "strings")}, {Term: "To wind, with overage", Text: fmt.Sprint(b.ToWind)},
		{Term: "Core cut", Text: u.Scale(now.Sheet.CoreCut).String()}, {Term: "Gauge", Text: gaugeOf(u, now.Sheet)}}
	if far := d.far(b); far != "" {
		v.Facts = append(v.Facts, page.Fact{Term: "So far", Text: far})
	}
	if len(now.Reasons) > 0 {
		v.Facts = append(v.Facts, page.Fact{Term: "Scrapped", Text: reasonsOf(now.Reasons)})
	}
	if b.Delay > 0 {
		v.Facts = append(v.Facts, page.Fact{Term: "Longer than reckoned", Text: u.Duration(b.Delay)})
	}
	v.Draws, v.Orders, v.Results = drawsTable(u, now.Sheet), forTable(r, now.Sheet), resultsTable(u, now)
	v.Actions = []page.Action{page.Link("The day", "/?date="+b.Date.String()).As("quiet")}
	if b.Status == batch.Released && r.May(workshop.Winder, workshop.Lead) {
		v.Actions = append([]page.Action{{Text: "At the bench", To: benchPath(b.Machine) + "?batch=" + string(b.Code)}}, v.Actions...)
	}
	if r.May(workshop.Lead) && b.Status != batch.Finished {
		v.Change = newChange(d, b)
	}
	if last, ok := lastStanding(now.Results); ok && r.May(workshop.Lead, workshop.Winder) {
		v.Undo = fmt.Sprintf("result %d, %d good and %d scrapped by %s", last.Number, last.Good, last.Scrapped, last.Person)
	}
	return v
}

func newChange(d day, b batch.Batch) *changeView {
	v := &changeView{Date: b.Date.String(), Code: string(b.Code), Machine: string(b.Machine), Place: b.Sequence, Pinned: slices.Contains(d.plan.Pinned, b.Code),
		Standing: b.Status != batch.Proposed, Splits: b.Ordered > 1, Most: b.Ordered - 1, Late: int(b.Delay / time.Minute)}
	for _, m := range d.plan.Machines {
		v.Machines = append(v.Machines, page.Option{Value: string(m.Machine), Text: string(m.Machine)})
	}
	return v
}

func lastStanding(results []batch.Result) (batch.Result, bool) {
	for _, r := range slices.Backward(results) {
		if r.Stands() {
			return r, true
		}
	}
	return batch.Result{}, false
}

// wantedOf is what to wind: 12 × LP-42 at 25.50 in.
func wantedOf(u units.Units, s batch.Sheet) string {
	return fmt.Sprintf("%d × %s at %s", s.ToWind, s.Recipe, u.Scale(s.Scale))
}

func gaugeOf(u units.Units, s batch.Sheet) string {
	text := fmt.Sprintf("%s, %s to %s", u.Size(s.Check()), u.Size(s.Check()-s.Tolerance).Number, u.Size(s.Check()+s.Tolerance))
	if own := ownGauge(u, s); own != "" {
		text += "; " + own
	}
	return text
}

// ownGauge says that the gauge to check is the shop's own, beside the computed one; empty where it is the recipe's.
func ownGauge(u units.Units, s batch.Sheet) string {
	if s.Own.Strings == 0 {
		return ""
	}
	return fmt.Sprintf("the shop's own, from %d measured strings; computed %s", s.Own.Strings, u.Size(s.Own.Computed))
}

func reasonsOf(list []batch.ScrapReason) string {
	var parts []string
	for _, r := range list {
		parts = append(parts, fmt.Sprintf("%d %s", r.Strings, cmp.Or(r.Reason, "for no reason told")))
	}
	return strings.Join(parts, ", ")
}

func drawsTable(u units.Units, s batch.Sheet) page.Table {
	return page.Plain("draws", "Wire it takes", []page.Column[batch.SpoolDraw]{
		{Head: "Spool", Cell: func(d batch.SpoolDraw) page.Cell {
			return page.Cell{Text: string(d.Spool), Href: "/wire/spools/" + string(d.Spool), Code: true, Note: d.Location}
		}},
		{Head: "Wire", Cell: func(d batch.SpoolDraw) page.Cell {
			return page.Cell{Text: string(d.Wire), Href: "/wire/wires/" + string(d.Wire), Code: true, Note: "lot " + d.Lot}
		}},
		{Head: "Strings", Number: true, Cell: func(d batch.SpoolDraw) page.Cell { return page.Text(fmt.Sprint(d.Strings)) }},
		{Head: "Takes", Number: true, Cell: func(d batch.SpoolDraw) page.Cell { return page.Text(u.Mass(d.Mass).String()) }},
		{Head: "Before", Number: true, Cell: func(d batch.SpoolDraw) page.Cell { return page.Text(u.Mass(d.Before).String()) }},
		{Head: "After", Number: true, Cell: func(d batch.SpoolDraw) page.Cell {
			return page.Cell{Text: u.Mass(d.After).String(), Note: "gross " + u.Mass(d.After+d.Tare).String()}
		}},
	}, s.Spools)
}

func forTable(r *page.Request, s batch.Sheet) page.Table {
	u := r.Units()
	return page.Plain("for", "Orders it winds for", []page.Column[batch.For]{
		{Head: "Order", Cell: func(f batch.For) page.Cell {
			return page.Cell{Text: string(f.Order), Href: orderPath(r, f.Order), Code: true, Note: f.Customer}
		}},
		{Head: "Line", Number: true, Cell: func(f batch.For) page.Cell { return page.Text(fmt.Sprint(f.Line)) }},
		{Head: "String", Number: true, Cell: func(f batch.For) page.Cell { return page.Cell{Text: fmt.Sprint(f.Position), Note: f.Pitch} }},
		{Head: "Wants", Number: true, Cell: func(f batch.For) page.Cell { return page.Text(fmt.Sprint(f.Strings)) }},
		{Head: "Due", Cell: func(f batch.For) page.Cell { return page.Text(u.Date(f.DueOn)) }},
	}, s.For)
}

func resultsTable(u units.Units, now workshop.BatchNow) page.Table {
	t := page.Plain("results", "What came off the machine", []page.Column[batch.Result]{
		{Head: "Result", Cell: func(r batch.Result) page.Cell {
			c := page.Text(fmt.Sprint(r.Number))
			if !r.Stands() {
				c.Tags, c.Note = []page.Tag{{Text: "undone", Tone: page.Wait}}, r.UndoReason
			}
			return c
		}},
		{Head: "Good", Number: true, Cell: func(r batch.Result) page.Cell { return page.Text(fmt.Sprint(r.Good)) }},
		{Head: "Scrapped", Number: true, Cell: func(r batch.Result) page.Cell { return page.Text(fmt.Sprint(r.Scrapped)) }},
		{Head: "Took", Number: true, Cell: func(r batch.Result) page.Cell { return page.Text(u.Duration(r.Minutes)) }},
		{Head: "Wound", Cell: func(r batch.Result) page.Cell { return page.Cell{Text: u.Date(r.WoundOn), Note: "by " + r.Person} }},
		{Head: "From", Cell: func(r batch.Result) page.Cell {
			var from []string
			for _, d := range r.Draws {
				from = append(from, fmt.Sprintf("%s (%d)", d.Spool, d.Strings))
			}
			return page.Text(joined(from))
		}},
	}, now.Results)
	t.Empty = page.Empty{Text: "Nothing is posted yet."}
	return t
}

// undoResult takes back the last result of a batch.
func (p place) undoResult(r *page.Request) (page.Reply, error) {
	code := batch.Code(r.Param("batch"))
	out, err := p.shop.UndoResult(r.Ctx(), code, 0, r.PostForm("reason"))
	return r.Back(batchPath(code), page.Done(fmt.Sprintf("Result %d of batch %s is undone: the wire is back on its spools, and what the bench had counted is counted again.", out.Result.Number, code)), err)
}
