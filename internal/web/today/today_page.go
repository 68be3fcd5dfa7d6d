package today

import (
	"fmt"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/planning"
	"windingroom/internal/requirements"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// todayPage answers the winding room's question of the day: what do we wind, on which machine, in which order, and what keeps the
// rest waiting?
type todayPage struct {
	page.Frame
	Head     page.Head
	Date     string // YYYY-MM-DD
	Before   string
	After    string
	State    []page.Tag
	StateSay string // what the state means, in a sentence
	Proof    string
	Actions  []page.Action
	Jumps    []page.Fact // to what is further down
	Late     []page.Cell // orders due before the day, or due on it and not planned whole

	Empty     page.Empty // instead of the plan, where it has a text
	Lanes     *lanes     // nil without batches
	Asked     *asked     // nil where one may not change the day
	Cancelled []cancelledView
	Changed   int // differences to the plan before
	Changes   page.Table
	Batches   page.Table
	Left      page.Table
	Short     page.Table
	Cautions  []string
}

// asked is what the lead asked of the day, and where more is asked.
type asked struct {
	Date    string
	Allowed int  // minutes of overtime
	Wished  bool // there are pins, held strings, machines down or overtime
	Held    []heldView
}

type heldView struct{ Text, Value string }

type cancelledView struct{ Batch, Text string }

func newToday(r *page.Request, d day, short []requirements.Shortage) todayPage {
	v := todayPage{Frame: r.Frame(d.units.LongDate(d.date)), Date: d.date.String(), Before: (d.date - 1).String(), After: (d.date + 1).String(), Cautions: cautions}
	v.Scripts = []string{dragScript}
	v.Head = page.Head{Place: d.units.LongDate(d.date), Answer: d.answer(), Note: d.note()}
	may := r.May(workshop.Lead)
	v.Short = shortTable(r, d, short)
	if !d.planned {
		v.Empty = noPlan(v.Date, may)
		return v
	}
	v.state(r, d, may)
	v.Left = leftTable(r, d)
	batches := 0
	for range d.batches() {
		batches++
	}
	if batches == 0 && len(d.plan.NotPlanned) == 0 {
		v.Empty = nothing(v.Date, may)
		return v
	}
	for _, c := range d.plan.Cancelled {
		v.Cancelled = append(v.Cancelled, cancelledView{string(c.Batch), page.Sentence(c.String())})
	}
	v.Changed, v.Changes = len(d.plan.Differences), changesTable(d)
	v.Lanes = newLanes(d, may, r.May(workshop.Winder, workshop.Lead))
	v.Batches = batchesTable(r, d)
	if may {
		v.Asked = newAsked(d)
	}
	return v
}

// state says what is released and what is only proposed, and offers the next step.
func (v *todayPage) state(r *page.Request, d day, may bool) {
	standing, fresh := len(d.plan.Standing()), 0
	for b := range d.batches() {
		if b.Status == batch.Proposed {
			fresh++
		}
	}
	if d.plan.ReleasedBy != "" {
		v.State = append(v.State, page.Tag{Text: fmt.Sprintf("%d released", standing), Tone: page.Good})
		v.StateSay = fmt.Sprintf("Released by %s, %s.", d.plan.ReleasedBy, d.units.Moment(d.plan.ReleasedAt))
	}
	if fresh > 0 {
		v.State = append(v.State, page.Tag{Text: fmt.Sprintf("%d proposed", fresh), Tone: page.Wait})
		if standing > 0 {
			v.StateSay += " For what is proposed beside it nothing is allocated until that is released too."
		} else {
			v.StateSay = "Nothing is allocated until the plan is released."
		}
	}
	if d.plan.Proof != "" {
		v.Proof = "How good it is shown to be: " + d.plan.Proof + "."
	}
	day := "/days/" + v.Date
	if may && fresh > 0 {
		v.Actions = append(v.Actions, page.Button("Release", day+"/release"))
	}
	if standing > 0 {
		sheets := page.Link("Batch sheets", day+"/sheets.xlsx")
		sheets.File = true
		if fresh == 0 {
			sheets.Kind = ""
		}
		v.Actions = append(v.Actions, sheets)
	}
	if may {
		text := "Propose again"
		if standing > 0 {
			text = "Propose what is new"
		}
		v.Actions = append(v.Actions, page.Button(text, day+"/propose").As("second"))
	} else if fresh > 0 {
		v.StateSay += " A lead or an owner releases it."
	}
	v.Actions = append(v.Actions, page.Link("Ten days ahead", "/ahead?from="+v.Date).As("quiet"))
	v.jumps(d)
	v.Late = orderLinks(r, d.plan.Late)
}

func (v *todayPage) jumps(d day) {
	left := 0
	for _, n := range d.plan.NotPlanned {
		left += n.Strings
	}
	if left > 0 {
		v.Jumps = append(v.Jumps, page.Fact{Term: "Not planned", Text: page.Plural(left, "string", "strings"), Href: "#left-caption", Tone: page.Wait})
	}
	if n := len(v.Short.Rows); n > 0 {
		v.Jumps = append(v.Jumps, page.Fact{Term: "Short", Text: page.Plural(n, "wire", "wires"), Href: "#short-caption", Tone: page.Wait})
	}
}

func newAsked(d day) *asked {
	p := d.plan
	a := &asked{Date: d.date.String(), Allowed: int(p.Allowed / time.Minute), Wished: len(p.Pinned)+len(p.Held)+len(p.Delayed)+len(p.Down) > 0 || p.Allowed > 0}
	for _, h := range p.Held {
		a.Held = append(a.Held, heldView{string(h.Recipe) + " at " + d.units.Scale(h.Scale).String(), heldValue(h)})
	}
	return a
}

// heldValue names held strings in a form.
func heldValue(h planning.Held) string { return string(h.Recipe) + "@" + h.Scale.InchText() }

func noPlan(date string, may bool) page.Empty {
	e := page.Empty{Text: "A lead or an owner proposes and releases the day. Come back once that is done."}
	if may {
		e.Text = "Propose one: open orders become batches, each with its machine, its place in the day and the spools it draws from. Nothing is allocated until you release it."
		e.Actions = []page.Action{page.Button("Propose", "/days/"+date+"/propose")}
	}
	return e
}

func nothing(date string, may bool) page.Empty {
	e := page.Empty{Text: "No confirmed order has strings left to plan. When new orders are in, propose the day again.", Command: "windingroom import FOLDER"}
	if may {
		e.Actions = []page.Action{page.Button("Propose again", "/days/"+date+"/propose").As("second")}
	}
	return e
}

// cautions are the standing ones of a winding room (common practice, no source). The shop's own rules come first.
var cautions = []string{
	"Eye protection on: a wire end that springs loose whips.",
	"No gloves, loose sleeves or long hair near a turning chuck.",
	"Guards closed before the chuck turns; stop it before you reach in.",
	"Nickel and its alloys may sensitise skin: handle them little, wash your hands.",
	"A full spool is heavy: carry it close, lift with help.",
}
