package today

import (
	"fmt"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/requirements"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// todayPage answers the winding room's question of the day: what do we wind, on which machine, in which order, from which
// spool, and what keeps the rest waiting?
type todayPage struct {
	page.Frame
	Date      string // YYYY-MM-DD
	Present   bool   // the date is the shop's present day
	Before    string
	After     string
	CanPlan   bool
	Plan      *planView // nil before the day is proposed
	Shortages []shortage
	Cautions  []string
}

func newToday(r *page.Request, date calendar.Date, short []shortage) todayPage {
	return todayPage{
		Frame: r.Frame(r.Units().LongDate(date)), Date: date.String(), Present: date == r.Site.Today(), Before: (date - 1).String(), After: (date + 1).String(),
		CanPlan: r.May(workshop.Lead), Shortages: short, Cautions: cautions,
	}
}

// shortage is a wire that open orders want more of than is free.
type shortage struct {
	Wire   string
	Short  string
	Need   string
	Free   string
	Orders []string
}

func shortagesView(list []requirements.Shortage) []shortage {
	all := make([]shortage, len(list))
	for i, s := range list {
		all[i] = shortage{
			Wire: string(s.Wire), Short: grams(s.Short), Need: grams(s.Needed), Free: grams(s.Drawable), Orders: page.Texts(s.Orders),
		}
	}
	return all
}

// cautions are the standing ones of a winding room (common practice, no source). The shop's own rules come first.
var cautions = []string{
	"Eye protection on: a wire end that springs loose whips.",
	"No gloves, loose sleeves or long hair near a turning chuck.",
	"Guards closed before the chuck turns; stop it before you reach in.",
	"Nickel and its alloys may sensitise skin: handle them little, wash your hands.",
	"A full spool is heavy: carry it close, lift with help.",
}

// grams prints a mass to the milligram with all its decimals, so that a column of them lines up.
func grams(m measure.Mass) string {
	sign := ""
	if m < 0 {
		sign, m = "-", -m
	}
	return fmt.Sprintf("%s%d.%03d g", sign, m/measure.Gram, m%measure.Gram)
}
