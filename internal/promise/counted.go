package promise

import (
	"math"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/replenishment"
)

// Counted gives a receipt the day that is counted on. Where the supplier's own deliveries have shown how long it takes, that is no earlier than the
// stated day nor than the one by which the shop's service share of its deliveries were there (as if normally spread about their mean; common
// practice, no source). Else it is the stated day. The days it takes to receive and weigh come on top.
func Counted(r Receipt, ordered calendar.Date, lead replenishment.LeadTime, b catalog.Buying) Receipt {
	on := float64(r.Stated)
	if lead.Learned && !ordered.IsZero() {
		expected := float64(ordered) + lead.Days
		on = max(on, math.Ceil(expected+float64(quantile(b.Service)*lead.SD)))
		r.Confidence = 1
		if lead.SD > 0 {
			r.Confidence = .5 * math.Erfc((expected-on)/(lead.SD*math.Sqrt2))
		}
	}
	r.On = calendar.Date(on) + calendar.Date(b.ReceivingDays)
	return r
}

// quantile gives the standard normal quantile of a probability.
func quantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }
