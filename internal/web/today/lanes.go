package today

import (
	"fmt"
	"slices"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/planning"
	"windingroom/internal/web/page"
)

// lanes is the day drawn as one bar for each machine: setup and run of each batch over the hours. Places are in percent of the width, so
// that the drawing fits a phone as well as a desk.
type lanes struct {
	Date  string
	Move  bool // batches may be dragged
	Hours []tick
	Now   string // place of the present moment; empty where it is not in the drawing
	Clock string
	Rows  []lane
	Any   string // a machine to which drops are posted
}

type tick struct {
	X     string
	Label string
	Odd   bool // left away where there is little room
	End   bool
}

type lane struct {
	Machine string
	Says    string
	Tone    page.Tone
	Down    bool
	Bench   string // address, where there is work for it
	Acts    []page.Action
	Bars    []bar
}

// bar is one batch: setup, then its run; Done is the part of the run that is wound.
type bar struct {
	Code, Href, Title, Label string
	State                    string
	Pinned, Late             bool
	Narrow                   bool // too narrow for its label on a phone
	Standing                 bool
	Ordered                  int
	Setup, SetupWidth        string
	Run, RunWidth, Done      string
	Middle                   string
}

func newLanes(d day, may, winds bool) *lanes {
	whole := d.span()
	at := func(t time.Duration) string { return percent(t, whole) }
	v := &lanes{Date: d.date.String(), Move: may}
	for h := time.Duration(0); h <= whole; h += time.Hour {
		v.Hours = append(v.Hours, tick{X: at(h), Label: d.clock(h), Odd: (h/time.Hour)%2 == 1, End: h == whole})
	}
	if now := d.progress.Now.Sub(d.progress.Begins); d.present && now >= 0 && now <= whole {
		v.Now, v.Clock = at(now), d.clock(now)
	}
	for _, m := range d.plan.Machines {
		v.Rows = append(v.Rows, newLane(d, m, may, winds, whole))
	}
	return v
}

func percent(t, whole time.Duration) string {
	return fmt.Sprintf("%.3f%%", 100*float64(t)/float64(whole))
}

// span is the drawn time: the longest machine's day in whole hours, at least one, and as far as the present moment.
func (d day) span() time.Duration {
	whole := time.Hour
	for b := range d.batches() {
		whole = max(whole, b.Ends)
	}
	if now := d.progress.Now.Sub(d.progress.Begins); d.present && now > whole && now < 16*time.Hour && d.working() {
		whole = now
	}
	return (whole + time.Hour - 1).Truncate(time.Hour)
}

// working says whether a released batch is not finished.
func (d day) working() bool {
	for b := range d.batches() {
		if b.Status == batch.Released {
			return true
		}
	}
	return false
}

func newLane(d day, m planning.MachineDay, may, winds bool, whole time.Duration) lane {
	v := lane{Machine: string(m.Machine), Down: slices.Contains(d.plan.Down, m.Machine)}
	v.Says, v.Tone = d.says(m)
	for _, b := range m.Batches {
		v.Bars = append(v.Bars, newBar(d, b, whole))
		if b.Status == batch.Released && winds {
			v.Bench = "/today/bench/" + v.Machine
		}
	}
	if may {
		to, what := "/days/"+d.date.String()+"/changes", page.Button("Machine is down", "", "down", v.Machine)
		if v.Down {
			what = page.Button("Machine is up again", "", "up", v.Machine)
		}
		what.To = to
		v.Acts = append(v.Acts, what.As("quiet"))
	}
	return v
}

// says is a machine's day in a sentence: what runs, what is next, whether it is behind.
func (d day) says(m planning.MachineDay) (string, page.Tone) {
	n := len(m.Batches)
	if n == 0 {
		return "No work on it.", ""
	}
	ends := m.Batches[n-1].Ends
	text, tone := page.Plural(n, "batch", "batches")+", done at "+d.clock(ends)+".", page.Tone("")
	i := slices.IndexFunc(m.Batches, func(b batch.Batch) bool { return d.state(b) == running })
	if i < 0 {
		i = slices.IndexFunc(m.Batches, func(b batch.Batch) bool { return b.Status == batch.Released })
	}
	released := slices.ContainsFunc(m.Batches, func(b batch.Batch) bool { return b.Status != batch.Proposed })
	switch {
	case i >= 0:
		b := m.Batches[i]
		strings, _ := d.progress.Of[b.Code].Wound()
		what := "Next"
		if d.state(b) == running {
			what = "Runs"
		}
		text = fmt.Sprintf("%s: %d of %d, %s, %d of %s.", what, b.Sequence, n, b.Recipe, strings, page.Plural(b.ToWind, "string", "strings"))
		if what == "Next" {
			text = fmt.Sprintf("Next: %d of %d, %s, %s at %s.", b.Sequence, n, b.Recipe, page.Plural(b.ToWind, "string", "strings"), d.clock(b.Starts))
		}
		if late, known := d.progress.Behind[m.Machine]; known && d.present {
			text += " " + d.pace(late, ends)
			if late >= worthSaying {
				tone = page.Wrong
			}
		} else {
			text += " Done at " + d.clock(ends) + "."
		}
	case released && !slices.ContainsFunc(m.Batches, func(b batch.Batch) bool { return b.Status == batch.Proposed }):
		text, tone = page.Plural(n, "batch", "batches")+", all wound.", page.Good
	}
	return text, tone
}

func (d day) pace(late, ends time.Duration) string {
	done := " Done at about " + d.clock(ends+late) + "."
	switch minutes := late.Round(time.Minute); {
	case minutes >= worthSaying:
		return d.units.Duration(minutes) + " behind." + done
	case minutes <= -worthSaying:
		return d.units.Duration(-minutes) + " ahead." + done
	}
	return "In time." + done
}

// Shares of the drawing's width that one digit of a label takes.
const (
	digitAtDesk  = .009
	digitOnPhone = .026
)

func newBar(d day, b batch.Batch, whole time.Duration) bar {
	run := b.Starts + b.Setup
	v := bar{Code: string(b.Code), Href: batchPath(b.Code), State: d.state(b), Pinned: slices.Contains(d.plan.Pinned, b.Code),
		Late: d.late(b) || d.servesLate(b), Standing: b.Status != batch.Proposed, Ordered: b.Ordered,
		Setup: percent(b.Starts, whole), SetupWidth: percent(b.Setup, whole), Run: percent(run, whole), RunWidth: percent(b.Ends-run, whole),
		Middle: percent(run+(b.Ends-run)/2, whole)}
	label := fmt.Sprint(b.Sequence)
	share := float64(b.Ends-run) / float64(whole) / float64(len(label))
	if share >= digitAtDesk {
		v.Label, v.Narrow = label, share < digitOnPhone
	}
	done, _ := d.progress.Of[b.Code].Wound()
	if b.Status == batch.Finished || b.ToWind == 0 {
		v.Done = v.RunWidth
	} else {
		v.Done = percent((b.Ends-run)*time.Duration(min(done, b.ToWind))/time.Duration(b.ToWind), whole)
	}
	v.Title = fmt.Sprintf("%d: %s at %s, %s, setup %s, %s to %s, %s", b.Sequence, b.Recipe, d.units.Scale(b.Scale), page.Plural(b.ToWind, "string", "strings"), d.units.Duration(b.Setup),
		d.clock(b.Starts), d.clock(b.Ends), v.State)
	if d.late(b) {
		v.Title += ", behind"
	}
	if d.servesLate(b) {
		v.Title += ", for a late order"
	}
	return v
}
