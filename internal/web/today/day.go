package today

import (
	"fmt"
	"iter"
	"slices"
	"strings"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/order"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// day is a day's plan with how far it has come, to be put into words.
type day struct {
	date     calendar.Date
	present  bool // it is the shop's present day
	planned  bool
	plan     workshop.DayPlan
	progress workshop.DayProgress
	units    units.Units
}

// batches gives the batches by machine in sequence.
func (d day) batches() iter.Seq[batch.Batch] {
	return func(yield func(batch.Batch) bool) {
		for _, m := range d.plan.Machines {
			for _, b := range m.Batches {
				if !yield(b) {
					return
				}
			}
		}
	}
}

// clock prints when something of the plan is, by the clock on the wall.
func (d day) clock(after time.Duration) string { return d.units.Clock(d.progress.Begins.Add(after)) }

// The states of a batch, as the filter names them.
const (
	proposed = "proposed"
	waiting  = "waiting"
	running  = "running"
	wound    = "wound"
)

func (d day) state(b batch.Batch) string {
	p := d.progress.Of[b.Code]
	strings, _ := p.Wound()
	switch {
	case b.Status == batch.Proposed:
		return proposed
	case b.Status == batch.Finished:
		return wound
	case p.Running() || strings > 0:
		return running
	}
	return waiting
}

// late says whether a batch should be further by now than it is.
func (d day) late(b batch.Batch) bool {
	now := d.progress.Now.Sub(d.progress.Begins)
	if b.Status != batch.Released || d.date > calendar.Of(d.progress.Now.In(d.progress.Begins.Location())) {
		return false
	}
	return now > b.Ends || d.state(b) == waiting && now > b.Starts
}

// servesLate says whether a batch winds for an order that is late.
func (d day) servesLate(b batch.Batch) bool {
	return slices.ContainsFunc(b.Serves, func(s batch.Serve) bool { return slices.Contains(d.plan.Late, s.Order) })
}

// answer is the heading: how the day stands.
func (d day) answer() string {
	if !d.planned {
		return "No plan yet for this day"
	}
	batches, machines, done := 0, 0, 0
	for _, m := range d.plan.Machines {
		batches += len(m.Batches)
		if len(m.Batches) > 0 {
			machines++
		}
	}
	if batches == 0 && len(d.plan.NotPlanned) == 0 {
		return "Nothing to wind"
	}
	for b := range d.batches() {
		if b.Status == batch.Finished {
			done++
		}
	}
	text := page.Plural(batches, "batch", "batches") + " on " + page.Plural(machines, "machine", "machines")
	if done > 0 {
		text = fmt.Sprintf("%d of %s wound", done, page.Plural(batches, "batch", "batches"))
	}
	return text + ", " + inTime(d.plan.Late)
}

// worthSaying is how far off its time a machine must be to be told.
const worthSaying = 5 * time.Minute

func inTime(late []order.Code) string {
	if len(late) == 0 {
		return "all orders in time"
	}
	return page.Plural(len(late), "order", "orders") + " late"
}

// note says what the heading leaves out: setup, what is behind, what stands and what is new.
func (d day) note() string {
	if !d.planned {
		return ""
	}
	var parts []string
	switch p := d.plan; {
	case p.Setup == 0:
	case p.Setup <= p.SetupBound:
		parts = append(parts, "Setup takes "+d.units.Duration(p.Setup)+", the least possible.")
	default:
		parts = append(parts, fmt.Sprintf("Setup takes %s; no sequence of these batches can have less than %s.", d.units.Duration(p.Setup), d.units.Duration(p.SetupBound)))
	}
	var behind []string
	for _, m := range d.plan.Machines {
		if late := d.progress.Behind[m.Machine]; d.present && late >= worthSaying {
			behind = append(behind, fmt.Sprintf("%s by %s", m.Machine, d.units.Duration(late.Round(time.Minute))))
		}
	}
	if len(behind) > 0 {
		parts = append(parts, "Behind: "+joined(behind)+".")
	}
	return strings.Join(parts, " ")
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
