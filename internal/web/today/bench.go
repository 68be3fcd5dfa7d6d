package today

import (
	"fmt"
	"html/template"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/problem"
	"windingroom/internal/stock"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// benchPage is one batch large on the screen of a tablet beside a machine: what to load, cut, wind and check, and the count.
type benchPage struct {
	page.Frame
	Head     page.Head
	Empty    *page.Empty // where nothing is to wind
	Path     string      // of the bench
	Batch    string
	Winds    bool // may count
	Begun    bool
	Place    string // which of the queue it is
	Cut      page.Fact
	Gauge    page.Fact
	Least    string // of the gauge
	Most     string
	Spread   string // how far the gauge may be off
	OwnGauge string // that it is the shop's own
	Loads    []loadView
	Cautions []string
	Standing []string // cautions of every winding room
	Tally    tallyView
	Reasons  []string
	Spool    page.Field
	Queue    []queueView
	Off      []offView // spools of the batch that was done just now
}

// tallyView is the count and the form that ends it; it alone is answered to a tap.
type tallyView struct {
	Path, Batch, Key string
	Winds            bool
	Good, Scrapped   int // with what was posted before
	ToWind, Ordered  int
	Enough           bool // as many good as are ordered
	Fill             page.Fill
	Reasons          string
	Parts            int // strings that earlier results posted
	Fields           []page.Field
	Correct          []page.Field
	Any              bool // something is counted
	Ends             bool // there is something to end: it is begun, or counted
	Open             bool // the form that ends it was refused
	Faults           page.Faults
}

type queueView struct {
	Text, Note, Href string
	Here             bool
	Tag              *page.Tag
}

type offView struct {
	Spool, Wire, Href string
	Stays             bool // the next batch goes on with it
}

// scrapReasons are the words on the buttons; they say what a winder sees (common practice, no source).
var scrapReasons = []string{"core broke", "wrap broke", "gauge off", "gap in wrap", "ball end", "cut wrong", "other"}

func benchPath(machine catalog.MachineCode) string { return "/today/bench/" + string(machine) }

func (p place) bench(r *page.Request) (page.Reply, error) {
	return p.showBench(r, page.NewForm(nil), page.Show)
}

func (p place) showBench(r *page.Request, f *page.Form, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	code := batch.Code(r.Query("batch"))
	if typed := f.Get("batch"); typed != "" {
		code = batch.Code(typed)
	}
	b, err := p.shop.Bench(r.Ctx(), catalog.MachineCode(r.Param("machine")), code)
	if err != nil {
		return page.Reply{}, err
	}
	v := newBench(r, b, f)
	if done := r.Query("done"); done != "" {
		if v.Off, err = p.comesOff(r, b, batch.Code(done)); err != nil {
			return page.Reply{}, err
		}
	}
	return as(benchTemplate, v).Fragment("tally", "tally-part"), nil
}

func newBench(r *page.Request, b workshop.Bench, f *page.Form) benchPage {
	v := benchPage{Frame: r.Frame(string(b.Machine)), Path: benchPath(b.Machine), Standing: cautions, Reasons: scrapReasons, Winds: r.May(workshop.Winder, workshop.Lead)}
	v.Bench, v.Scripts = true, []string{benchScript}
	u := r.Units()
	for _, q := range b.Queue {
		v.Queue = append(v.Queue, newQueued(u, b, q))
	}
	if b.Sheet == nil {
		v.Head = page.Head{Place: string(b.Machine), Answer: "Nothing to wind"}
		v.Empty = &page.Empty{Text: "No batch is released to this machine. A lead releases the day; then the first batch stands here.", Actions: []page.Action{page.Link("The day", "/")}}
		return v
	}
	s := *b.Sheet
	v.Batch, v.Begun = string(s.Code), b.Progress.Running()
	v.Head = page.Head{Place: fmt.Sprintf("%s, place %d, %s to %s", b.Machine, s.Sequence, u.Clock(b.Begins.Add(s.Starts)), u.Clock(b.Begins.Add(s.Ends))), Answer: wantedOf(u, s), Note: forWhom(u, s)}
	if s.Date != r.Site.Today() {
		v.Head.Place = fmt.Sprintf("%s, place %d of %s", b.Machine, s.Sequence, u.Date(s.Date))
	}
	v.Cut = page.Fact{Term: "Cut the core", Text: u.Scale(s.CoreCut).String()}
	if s.BallEnd {
		v.Cut.Term = "Cut the core, ball end"
	}
	check := s.Check()
	v.Gauge = page.Fact{Term: "Gauge", Text: u.Size(check).String()}
	v.OwnGauge = ownGauge(u, s)
	v.Least, v.Most, v.Spread = u.Size(check-s.Tolerance).Number, u.Size(check+s.Tolerance).Number, u.Size(s.Tolerance).String()
	v.Loads, v.Cautions = onMachine(u, b.Loaded), inUnits(u, s.Cautions)
	v.Tally = newTally(v, s.Batch, b, f)
	v.Spool = f.Field("spool", "Another spool").Required().Hinted("Scan its label before you wind from it.")
	v.Spool.Large, v.Spool.Complete = true, "off"
	return v
}

func forWhom(u units.Units, s batch.Sheet) string {
	var parts []string
	for _, f := range s.For {
		if text := fmt.Sprintf("%s, due %s", f.Order, u.ShortDate(f.DueOn)); len(parts) == 0 || parts[len(parts)-1] != text {
			parts = append(parts, text)
		}
	}
	const most = 3
	if more := len(parts) - most; more > 0 {
		parts = append(parts[:most], fmt.Sprintf("%d more", more))
	}
	return fmt.Sprintf("Batch %s for %s", s.Code, strings.Join(parts, "; "))
}

func newTally(v benchPage, b batch.Batch, now workshop.Bench, f *page.Form) tallyView {
	strings, good := now.Progress.Wound()
	t := tallyView{Path: v.Path, Batch: v.Batch, Key: v.Key, Winds: v.Winds, Good: good, Scrapped: strings - good, ToWind: b.ToWind, Ordered: b.Ordered, Enough: good >= b.Ordered,
		Reasons: reasonsOf(now.Progress.Reasons), Parts: now.Progress.Posted.Strings(), Any: strings > 0}
	t.Fill = page.Of(fmt.Sprintf("%d of %d wound", strings, b.ToWind), float64(good), float64(max(b.ToWind, strings)))
	number := func(form *page.Form, name, label, unit string, value int) page.Field {
		return form.Field(name, label).Whole(unit).Required().Starting(strconv.Itoa(value))
	}
	t.Fields = []page.Field{number(f, "good", "Good", "strings", now.Progress.Good), number(f, "scrapped", "Scrapped", "strings", now.Progress.Scrapped),
		number(f, "minutes", "Winding took", "min", int(now.Winding/time.Minute)).Hinted("Without setup. 0: not known.")}
	t.Ends = t.Any || now.Progress.Running()
	t.Open, t.Faults = f.Values.Has("minutes"), f.Said(t.Fields...)
	fresh := page.NewForm(nil)
	t.Correct = []page.Field{number(fresh, "good_is", "Good", "strings", now.Progress.Good).Unique("correct"), number(fresh, "scrapped_is", "Scrapped", "strings", now.Progress.Scrapped).Unique("correct")}
	return t
}

func newQueued(u units.Units, b workshop.Bench, q workshop.Queued) queueView {
	v := queueView{Text: fmt.Sprintf("%d × %s", q.ToWind, q.Recipe), Note: u.Scale(q.Scale).String(), Href: benchPath(b.Machine) + "?batch=" + string(q.Code), Here: b.Sheet != nil && b.Sheet.Code == q.Code}
	if strings, _ := q.Progress.Wound(); !v.Here && (q.Progress.Running() || strings > 0) { // of this one the count says it
		v.Tag = &page.Tag{Text: fmt.Sprintf("%d of %d", strings, q.ToWind), Tone: page.Good}
	}
	return v
}

// comesOff gives the spools of a batch that was done just now: those that the next one does not go on with are weighed back.
func (p place) comesOff(r *page.Request, next workshop.Bench, code batch.Code) ([]offView, error) {
	now, err := p.shop.BatchNow(r.Ctx(), code)
	if err != nil {
		return nil, err
	}
	last, ok := lastStanding(now.Results)
	if !ok {
		return nil, nil
	}
	stays := map[stock.SpoolCode]bool{}
	for _, on := range next.Loaded {
		stays[on.Spool] = true
	}
	var list []offView
	weighed := r.Query("weighed")
	for _, d := range last.Draws {
		if slices.Contains(strings.Split(weighed, ","), string(d.Spool)) {
			continue
		}
		query := url.Values{"spool": {string(d.Spool)}, "done": {string(code)}, "weighed": {weighed}}
		list = append(list, offView{string(d.Spool), string(d.Wire), benchPath(next.Machine) + "/weigh?" + query.Encode(), stays[d.Spool]})
	}
	return list, nil
}

// begin notes that the machine is being set up.
func (p place) begin(r *page.Request) (page.Reply, error) {
	return p.onBench(r, func(code batch.Code) (page.Notice, error) {
		m, err := p.shop.BeginBatch(r.Ctx(), code)
		return p.undoing(r, page.Done("Begun at "+r.Units().Clock(m.Tally.BegunAt)+"."), m), err
	})
}

// count counts strings, or sets the count right.
func (p place) count(r *page.Request) (page.Reply, error) {
	return p.onBench(r, func(code batch.Code) (page.Notice, error) {
		form, err := p.counted(r, code)
		if err != nil {
			return page.Notice{}, err
		}
		m, err := p.shop.CountStrings(r.Ctx(), form)
		return p.undoing(r, page.Done(countSaid(m.Mark)), m), err
	})
}

// counted reads what was tapped: good, or scrap with its reason; or, where the count is set right, by how much it differs.
func (p place) counted(r *page.Request, code batch.Code) (workshop.CountForm, error) {
	form := r.Request.PostForm
	f := workshop.CountForm{Batch: code, Key: form.Get("key")}
	var err error
	switch {
	case form.Has("good_is"):
		f.Reason = setRight
		var good, scrapped int
		if good, err = wholeNumber(form, "good_is", "a number of strings"); err != nil {
			return f, err
		}
		if scrapped, err = wholeNumber(form, "scrapped_is", "a number of strings"); err != nil {
			return f, err
		}
		b, err := p.shop.Bench(r.Ctx(), catalog.MachineCode(r.Param("machine")), code)
		if err != nil {
			return f, err
		}
		f.Good, f.Scrapped = good-b.Progress.Good, scrapped-b.Progress.Scrapped
	case form.Get("reason") != "":
		f.Scrapped, f.Reason = 1, form.Get("reason")
	default:
		f.Good, err = wholeNumber(form, "good", "a number of strings")
	}
	return f, err
}

// setRight is the reason of scrap that was not tapped but set with the count.
const setRight = "told later"

func countSaid(m batch.Mark) string {
	switch {
	case m.Number == 0:
		return "Nothing to count."
	case m.Reason == setRight:
		return fmt.Sprintf("Set right: %+d good, %+d scrapped.", m.Good, m.Scrapped)
	case m.Scrapped > 0:
		return fmt.Sprintf("%d scrapped: %s.", m.Scrapped, m.Reason)
	}
	return fmt.Sprintf("%d good.", m.Good)
}

func (p place) switchSpool(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	m, err := p.shop.SwitchSpool(r.Ctx(), batch.Code(f.Get("batch")), stock.SpoolCode(f.Get("spool")), f.Get("key"))
	if err != nil {
		if err := f.Refuse(err); err != nil {
			return page.Reply{}, err
		}
		return p.showBench(r, f, page.Refused)
	}
	said := page.Done("That spool is on already: go on.")
	if m.Mark.Number > 0 {
		said = page.Done(fmt.Sprintf("From now on %s is wound from spool %s.", m.Mark.Wire, m.Mark.Spool))
	}
	return r.Back(p.benchOf(r, batch.Code(f.Get("batch"))), p.undoing(r, said, m), nil)
}

// undoing offers to take a mark back; one that was not made cannot be.
func (p place) undoing(r *page.Request, said page.Notice, m workshop.Marked) page.Notice {
	if m.Mark.Number == 0 {
		return said
	}
	return said.Undoing("/today/bench/"+r.Param("machine")+"/undo", "batch", string(m.Mark.Batch), "mark", strconv.Itoa(m.Mark.Number))
}

func (p place) undoMark(r *page.Request) (page.Reply, error) {
	return p.onBench(r, func(code batch.Code) (page.Notice, error) {
		number, err := wholeNumber(r.Request.PostForm, "mark", "a mark of the tally")
		if err != nil {
			return page.Notice{}, err
		}
		_, err = p.shop.UndoMark(r.Ctx(), code, number)
		return page.Done("Taken back."), err
	})
}

// onBench does something with the batch of the form and goes back to the bench.
func (p place) onBench(r *page.Request, do func(batch.Code) (page.Notice, error)) (page.Reply, error) {
	if err := r.Request.ParseForm(); err != nil {
		return page.Reply{}, problem.ErrMalformed
	}
	code := batch.Code(r.Request.PostForm.Get("batch"))
	said, err := do(code)
	return r.Back(p.benchOf(r, code), said, err)
}

func (p place) benchOf(r *page.Request, code batch.Code) string {
	return "/today/bench/" + r.Param("machine") + "?batch=" + string(code)
}

// done posts the result of a batch, or of its part.
func (p place) done(r *page.Request) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	form := workshop.DoneForm{Batch: batch.Code(f.Get("batch")), Continues: f.Get("part") != "", Key: f.Get("key")}
	number := func(what string) func(string) (int, error) {
		return func(text string) (int, error) { return whole(text, what) }
	}
	form.Good, form.Scrapped = page.Read(f, "good", number("a number of strings")), page.Read(f, "scrapped", number("a number of strings"))
	form.Minutes = time.Duration(page.Read(f, "minutes", number("a whole number of minutes"))) * time.Minute
	if f.OK() {
		out, err := p.shop.FinishBatch(r.Ctx(), form)
		if err == nil {
			return p.afterDone(r, out)
		}
		if err := f.Refuse(err); err != nil {
			return page.Reply{}, err
		}
	}
	return p.showBench(r, f, page.Refused)
}

func (p place) afterDone(r *page.Request, out workshop.ResultPosted) (page.Reply, error) {
	text, to := fmt.Sprintf("Batch %s is done: %d good, %d scrapped.", out.Batch.Code, out.Result.Good, out.Result.Scrapped), "/today/bench/"+r.Param("machine")
	if out.Result.Continues {
		text = fmt.Sprintf("Posted: %d good, %d scrapped. Batch %s goes on later.", out.Result.Good, out.Result.Scrapped, out.Batch.Code)
	}
	said := page.Done(text).Undoing(to+"/not-done", "batch", string(out.Batch.Code), "result", strconv.Itoa(out.Result.Number))
	return r.Back(to+"?done="+string(out.Batch.Code), said, nil)
}

// notDone undoes the result that was posted just now; its count stands again.
func (p place) notDone(r *page.Request) (page.Reply, error) {
	return p.onBench(r, func(code batch.Code) (page.Notice, error) {
		number, err := wholeNumber(r.Request.PostForm, "result", "a result")
		if err != nil {
			return page.Notice{}, err
		}
		_, err = p.shop.UndoResult(r.Ctx(), code, number, "taken back at the bench")
		return page.Done(fmt.Sprintf("Batch %s is not done: what was counted is counted again.", code)), err
	})
}
