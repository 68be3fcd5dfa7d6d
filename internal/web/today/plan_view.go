package today

import (
	"fmt"
	"slices"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/planning"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// planView is a day's plan in words.
type planView struct {
	Date       string
	Released   string // who released it and when; empty for a proposal
	Standing   int    // batches that are released or finished
	Fresh      int    // batches that are proposed
	Proof      string
	Count      string
	Empty      bool // nothing to wind and nothing left over
	Setup      string
	Bound      string
	Machines   []machineView
	NotPlanned []leftOver
	Left       int // strings not planned
	Late       []string
	Chart      chart

	CanChange   bool
	Wished      bool // there are pins, held strings, machines down or overtime
	Allowed     int  // minutes of overtime
	Held        []heldView
	Cancelled   []cancelledView
	Differences []differenceView
}

type cancelledView struct{ Batch, Text string }

type heldView struct {
	Recipe string
	Scale  string // inches
}

type machineView struct {
	Machine string
	Summary string
	Batches []batchView

	Date      string
	Down      bool
	CanChange bool
}

type batchView struct {
	Sequence int
	Code     string
	Recipe   string
	Scale    string // inches
	ToWind   int
	Ordered  int
	Setup    string
	Run      string
	Starts   string // h:mm after the machine's day began
	Ends     string
	Draws    []drawView
	Orders   []string

	Date     string
	Machine  string
	Machines []string // it may be moved to
	Pinned   bool
	Standing bool // released or finished
	Finished bool
	Fresh    bool // proposed beside batches that stand
}

type drawView struct {
	Spool   string
	Wire    string
	Strings int
	Mass    string
}

func newPlan(day workshop.DayPlan, zone *time.Location, canChange bool) *planView {
	v := &planView{
		Date: day.Date.String(), Count: countOf(day), Setup: spell(day.Setup), Bound: spell(day.SetupBound), Late: page.Texts(day.Late), Chart: newChart(day.Machines),
		Standing: len(day.Standing()), Proof: day.Proof, CanChange: canChange, Allowed: int(day.Allowed.Minutes()), Differences: differencesView(day.Differences),
		Wished: len(day.Pinned)+len(day.Held)+len(day.Delayed)+len(day.Down) > 0 || day.Allowed > 0,
	}
	if day.ReleasedBy != "" {
		v.Released = fmt.Sprintf("Released by %s on %s", day.ReleasedBy, day.ReleasedAt.In(zone).Format("2 January at 15:04"))
	}
	for _, c := range day.Cancelled {
		v.Cancelled = append(v.Cancelled, cancelledView{string(c.Batch), page.Sentence(c.String())})
	}
	for _, h := range day.Held {
		v.Held = append(v.Held, heldView{string(h.Recipe), h.Scale.InchText()})
	}
	batches := 0
	for _, m := range day.Machines {
		v.Machines = append(v.Machines, newMachine(day, m, canChange))
		batches += len(m.Batches)
	}
	v.Fresh = batches - v.Standing
	v.NotPlanned, v.Left = leftOvers(day.NotPlanned)
	v.Empty = batches == 0 && len(v.NotPlanned) == 0
	return v
}

func newMachine(day workshop.DayPlan, m planning.MachineDay, canChange bool) machineView {
	v := machineView{Machine: string(m.Machine), Date: day.Date.String(), Down: slices.Contains(day.Down, m.Machine), CanChange: canChange}
	strings := 0
	for _, b := range m.Batches {
		v.Batches = append(v.Batches, newBatch(day, b))
		strings += b.ToWind
	}
	if n := len(m.Batches); n > 0 {
		v.Summary = fmt.Sprintf("%s, %s, done after %s", page.Plural(n, "batch", "batches"), page.Plural(strings, "string", "strings"), v.Batches[n-1].Ends)
	}
	return v
}

func newBatch(day workshop.DayPlan, b batch.Batch) batchView {
	v := batchView{
		Sequence: b.Sequence, Code: string(b.Code), Recipe: string(b.Recipe), Scale: b.Scale.InchText(), ToWind: b.ToWind, Ordered: b.Ordered,
		Setup: spell(b.Setup), Run: spell(b.Run), Starts: clock(b.Starts), Ends: clock(b.Ends),
		Date: day.Date.String(), Machine: string(b.Machine), Pinned: slices.Contains(day.Pinned, b.Code),
		Standing: b.Status != batch.Proposed, Finished: b.Status == batch.Finished, Fresh: b.Status == batch.Proposed && day.ReleasedBy != "",
	}
	for _, m := range day.Machines {
		v.Machines = append(v.Machines, string(m.Machine))
	}
	for _, d := range b.Draws {
		v.Draws = append(v.Draws, drawView{Spool: string(d.Spool), Wire: string(d.Wire), Strings: d.Strings, Mass: grams(d.Mass)})
	}
	for _, sv := range b.Serves {
		v.Orders = append(v.Orders, fmt.Sprintf("%s line %d, string %d: %d", sv.Order, sv.Line, sv.Position, sv.Strings))
	}
	return v
}

// countOf says how much a plan holds.
func countOf(day workshop.DayPlan) string {
	batches, strings := 0, 0
	for _, m := range day.Machines {
		for _, b := range m.Batches {
			batches++
			strings += b.ToWind
		}
	}
	return page.Plural(batches, "batch", "batches") + ", " + page.Plural(strings, "string", "strings") + " to wind"
}

// spell prints minutes with half minutes where there are any: "1 h 5.5 min".
func spell(d time.Duration) string {
	tenths := d.Round(6*time.Second) / (6 * time.Second)
	minutes := fmt.Sprintf("%d min", tenths%600/10)
	if tenths%10 != 0 {
		minutes = fmt.Sprintf("%d.%d min", tenths%600/10, tenths%10)
	}
	if hours := tenths / 600; hours > 0 {
		return fmt.Sprintf("%d h %s", hours, minutes)
	}
	return minutes
}

// clock prints an offset from the start of the machine's day as h:mm.
func clock(d time.Duration) string {
	m := int(d.Round(time.Minute) / time.Minute)
	return fmt.Sprintf("%d:%02d", m/60, m%60)
}
