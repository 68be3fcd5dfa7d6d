package today

import (
	"fmt"
	"time"

	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// daysAhead is how far the page looks.
const daysAhead = 10

// aheadPage answers what the days to come hold, as they would be planned now.
type aheadPage struct {
	page.Frame
	Head   page.Head
	Date   string
	Before string
	After  string
	Days   []aheadDayView
}

type aheadDayView struct {
	Date      string // YYYY-MM-DD
	Name      string
	Machines  []aheadLoad
	Completed []page.Cell
	Late      []page.Cell
	Works     bool // something is wound
	Open      int  // strings that are still open when it is done
}

// aheadLoad is a machine's day as a bar: setup and run in parts of a hundred of its minutes, at most the whole bar.
type aheadLoad struct {
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
	completed, late := 0, map[string]bool{}
	for _, d := range days {
		completed += len(d.Completed)
		for _, code := range page.Texts(d.Late) {
			late[code] = true
		}
		v.Days = append(v.Days, newAheadDay(r, d))
	}
	v.Head = page.Head{Place: "Ahead", Answer: aheadAnswer(len(days), completed, len(late)), Note: "As the orders of now would be planned, each day on what the one before leaves, with the wire that is due to arrive. Nothing of it is kept or allocated."}
	return page.Show(aheadTemplate, v), nil
}

func newAheadDay(r *page.Request, d workshop.AheadDay) aheadDayView {
	u := r.Units()
	v := aheadDayView{Date: d.Date.String(), Name: u.LongDate(d.Date), Completed: orderLinks(r, d.Completed), Late: orderLinks(r, d.Late)}
	for _, n := range d.NotPlanned {
		v.Open += n.Strings
	}
	for _, l := range d.Loads {
		v.Machines = append(v.Machines, newAheadLoad(u, l))
		v.Works = v.Works || l.Batches > 0 || l.Minutes == 0
	}
	return v
}

func newAheadLoad(u units.Units, l workshop.AheadLoad) aheadLoad {
	v := aheadLoad{Machine: string(l.Machine), Down: l.Minutes == 0}
	whole := max(l.Minutes, l.Setup+l.Run, time.Minute)
	part := func(d time.Duration) int { return int(100 * d / whole) }
	v.Setup, v.RunX = part(l.Setup), part(l.Setup)
	v.Run = part(l.Setup+l.Run) - v.RunX
	if l.Minutes > 0 {
		v.Full = int(100 * (l.Setup + l.Run) / l.Minutes)
	}
	v.Title = fmt.Sprintf("%s: %s, setup %s, winding %s of %s", l.Machine, page.Plural(l.Batches, "batch", "batches"), u.Duration(l.Setup), u.Duration(l.Run), u.Duration(l.Minutes))
	return v
}

func aheadAnswer(days, completed, late int) string {
	text := fmt.Sprintf("%s complete in %s", page.Plural(completed, "order", "orders"), page.Plural(days, "working day", "working days"))
	if late == 0 {
		return text + ", none late"
	}
	return text + fmt.Sprintf(", %d late", late)
}
