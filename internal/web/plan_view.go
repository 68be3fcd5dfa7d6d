package web

import (
	"fmt"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/planning"
	"windingroom/internal/workshop"
)

// planView is a day's plan in words.
type planView struct {
	Released   string // who released it and when; empty for a proposal
	Count      string
	Empty      bool // nothing to wind and nothing left over
	Setup      string
	Bound      string
	Machines   []machineView
	NotPlanned []leftOver
	Left       int // strings not planned
	Late       []string
	Chart      chart
}

type machineView struct {
	Machine string
	Summary string
	Batches []batchView
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
}

type drawView struct {
	Spool   string
	Wire    string
	Strings int
	Mass    string
}

func newPlan(day workshop.DayPlan, zone *time.Location) *planView {
	v := &planView{
		Count: countOf(day), Setup: spell(day.Setup), Bound: spell(day.SetupBound), Late: texts(day.Late), Chart: newChart(day.Machines),
	}
	if day.Released {
		v.Released = fmt.Sprintf("Released by %s on %s", day.ReleasedBy, day.ReleasedAt.In(zone).Format("2 January at 15:04"))
	}
	batches := 0
	for _, m := range day.Machines {
		v.Machines = append(v.Machines, newMachine(m))
		batches += len(m.Batches)
	}
	v.NotPlanned, v.Left = leftOvers(day.NotPlanned)
	v.Empty = batches == 0 && len(v.NotPlanned) == 0
	return v
}

func newMachine(m planning.MachineDay) machineView {
	v := machineView{Machine: string(m.Machine)}
	strings := 0
	for _, b := range m.Batches {
		v.Batches = append(v.Batches, newBatch(b))
		strings += b.ToWind
	}
	if n := len(m.Batches); n > 0 {
		v.Summary = fmt.Sprintf("%s, %s, done after %s", plural(n, "batch", "batches"), plural(strings, "string", "strings"), v.Batches[n-1].Ends)
	}
	return v
}

func newBatch(b batch.Batch) batchView {
	v := batchView{
		Sequence: b.Sequence, Code: string(b.Code), Recipe: string(b.Recipe), Scale: b.Scale.InchText(), ToWind: b.ToWind, Ordered: b.Ordered,
		Setup: spell(b.Setup), Run: spell(b.Run), Starts: clock(b.Starts), Ends: clock(b.Ends),
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
	return plural(batches, "batch", "batches") + ", " + plural(strings, "string", "strings") + " to wind"
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
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

func longDate(d calendar.Date) string { return d.Time().Format("Monday 2 January 2006") }
