package replenishment

import (
	"slices"

	"windingroom/internal/measure"
)

// Notice is wire of one order line and the days from booking it to drawing it.
type Notice struct {
	Days int
	Mass measure.Mass
}

// fewNotices is how many order lines must be known before the shop's notice is believed (judgement).
const fewNotices = 20

// ahead says for how many days of demand a stretch from tonight on is still open: what is drawn within it and not yet booked. A customer's
// notice subtracts from the stretch (advance demand information: Hariharan and Zipkin, Management Science 41, 1995, from memory).
type ahead struct {
	known bool
	open  []float64 // by days from tonight: the mean, by mass, of max(0, days - notice)
}

// noticeFrom works it out up to a number of days. Too few notices are none.
func noticeFrom(notices []Notice, horizon int) ahead {
	if len(notices) < fewNotices {
		return ahead{}
	}
	sorted := slices.Clone(notices)
	slices.SortFunc(sorted, func(a, b Notice) int { return a.Days - b.Days })
	whole := 0.0
	for _, n := range sorted {
		whole += float64(max(n.Mass, 0))
	}
	if whole == 0 {
		return ahead{}
	}
	a := ahead{known: true, open: make([]float64, horizon+1)}
	next, within := 0, 0.0 // mass whose notice is shorter than the days so far
	for days := range horizon {
		for next < len(sorted) && sorted[next].Days <= days {
			within += float64(max(sorted[next].Mass, 0))
			next++
		}
		a.open[days+1] = a.open[days] + within/whole
	}
	return a
}

// weeks gives the weeks of demand still open in a number of days.
func (a ahead) weeks(days int) float64 {
	days = max(days, 0)
	if !a.known {
		return float64(days) / 7
	}
	return a.open[min(days, len(a.open)-1)] / 7
}
