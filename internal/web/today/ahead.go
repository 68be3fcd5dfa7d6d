package today

import (
	"fmt"
	"time"

	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// daysAhead is how far the page looks.
const daysAhead = 10

// aheadPage answers what the days to come hold, as they would be planned now.
type aheadPage struct {
	page.Frame
	Date   string
	Before string
	After  string
	Days   []aheadDayView
}

type aheadDayView struct {
	Date      string // YYYY-MM-DD
	Name      string
	Machines  []loadView
	Completed []string
	Late      []string
	Open      int // strings that are still open when it is done
}

// loadView is a machine's day as a bar: setup and run in parts of a hundred of its minutes, at most the whole bar.
type loadView struct {
	Machine string
	Title   string
	Setup   int
	RunX    int
	Run     int
	Full    int // percent, over a hundred with overtime
	Down    bool
}

func (p place) ahead(r *page.Request) (page.Reply, error) {
	from, err := r.Date("from")
	if err != nil {
		return page.Reply{}, err
	}
	days, err := p.shop.LookAhead(r.Ctx(), from, daysAhead)
	if err != nil {
		return page.Reply{}, err
	}
	v := aheadPage{Frame: r.Frame("Ten working days ahead"), Date: from.String(), Before: (from - 1).String(), After: (from + 1).String()}
	for _, d := range days {
		v.Days = append(v.Days, newAheadDay(d))
	}
	return page.Show(aheadTemplate, v), nil
}

func newAheadDay(d workshop.AheadDay) aheadDayView {
	v := aheadDayView{Date: d.Date.String(), Name: d.Date.Time().Format("Monday 2 January"), Completed: page.Texts(d.Completed), Late: page.Texts(d.Late)}
	for _, n := range d.NotPlanned {
		v.Open += n.Strings
	}
	for _, l := range d.Loads {
		v.Machines = append(v.Machines, newLoad(l))
	}
	return v
}

func newLoad(l workshop.AheadLoad) loadView {
	v := loadView{Machine: string(l.Machine), Down: l.Minutes == 0}
	whole := max(l.Minutes, l.Setup+l.Run, time.Minute)
	part := func(d time.Duration) int { return int(100 * d / whole) }
	v.Setup, v.RunX = part(l.Setup), part(l.Setup)
	v.Run = part(l.Setup+l.Run) - v.RunX
	if l.Minutes > 0 {
		v.Full = int(100 * (l.Setup + l.Run) / l.Minutes)
	}
	v.Title = fmt.Sprintf("%s: %s, setup %s, winding %s of %s", l.Machine, page.Plural(l.Batches, "batch", "batches"), spell(l.Setup), spell(l.Run), spell(l.Minutes))
	return v
}
