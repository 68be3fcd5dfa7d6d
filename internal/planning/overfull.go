package planning

import (
	"slices"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
)

// Room is the machine time that is left until a day is over: on machines that wind plain strings only, wound ones only, and either.
type Room struct{ Plain, Wound, Both time.Duration }

// takes says whether the work fits by its minutes alone.
func (r Room) takes(plain, wound time.Duration) bool {
	return plain <= r.Plain+r.Both && wound <= r.Wound+r.Both && plain+wound <= r.Plain+r.Wound+r.Both
}

// Overfull names the orders, in due order, that no plan winds by the day they are due: the bare winding minutes of their strings and of
// those due before are more than the machines have. Setup, scrap and the wire are not in it, so an order that it does not name may still
// be late. Time is given out in due order; an order for which it does not last takes none, so that a smaller one after it may still fit.
func Overfull(demands []requirements.Demand, bench Bench, until func(calendar.Date) Room) ([]order.Code, error) {
	sorted := slices.Clone(demands)
	slices.SortFunc(sorted, requirements.Compare)
	var late []order.Code
	var plain, wound time.Duration
	for len(sorted) > 0 {
		first, n := sorted[0], 0
		p, w := plain, wound
		for ; n < len(sorted) && sorted[n].Order == first.Order; n++ {
			m, err := bench.Making(sorted[n].Recipe, sorted[n].Scale)
			if err != nil {
				return nil, err
			}
			if work := time.Duration(sorted[n].Strings) * m.Each; m.Plain() {
				p += work
			} else {
				w += work
			}
		}
		if until(first.DueOn).takes(p, w) {
			plain, wound = p, w
		} else {
			late = append(late, first.Order)
		}
		sorted = sorted[n:]
	}
	return late, nil
}
