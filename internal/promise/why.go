package promise

import (
	"math"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/order"
)

// decides says what keeps an order from a day before the promised one: what the plan of the day before left it out for, and the
// receipt that the promised day brings; or the others, where it would be done earlier before them.
func (s *search) decides(on calendar.Date, t, first trial) Reason {
	if done, ok := first.done[s.asked.Order]; ok && done < on {
		if late := s.harmed(first, s.Days[s.asked.From].Date); len(late) > 0 {
			return Reason{What: ByOrders, Orders: late}
		}
	}
	at := -1
	for i := range t.results {
		if t.results[i].In.Date == on {
			at = i
		}
	}
	if at <= 0 {
		return Reason{What: Nothing}
	}
	before := t.results[at-1]
	reason := Reason{What: ByTime}
	for _, n := range before.Plan.NotPlanned {
		if n.Order == s.asked.Order {
			reason = Reason{What: whyOf(n.Why), Detail: n.Detail}
			break
		}
	}
	if reason.What != ByTime {
		if rc := s.arrived(before.In.Date, on); rc != nil {
			return Reason{What: Arrival, Wire: rc.Wire, Receipt: rc, Detail: reason.Detail}
		}
	}
	reason.Machine = winder(t.results[at], s.asked.Order)
	return reason
}

// arrived finds the receipt of one of the order's wires that is counted on after one day and by another.
func (s *search) arrived(after, by calendar.Date) *Receipt {
	for i, rc := range s.Receipts {
		if rc.On <= after || rc.On > by {
			continue
		}
		for _, d := range s.asked.Demands {
			for _, u := range s.making(d).Uses {
				if u.Wire == rc.Wire {
					return &s.Receipts[i]
				}
			}
		}
	}
	return nil
}

// winder gives the machine that winds for an order longest into a day.
func winder(r Result, code order.Code) (machine catalog.MachineCode) {
	latest := -1.
	for _, m := range r.Plan.Machines {
		for _, b := range m.Batches {
			for _, sv := range b.Serves {
				if sv.Order == code && b.Ends.Seconds() > latest {
					machine, latest = m.Machine, b.Ends.Seconds()
				}
			}
		}
	}
	return machine
}

// detailOf gives what the last planned day says of an order that it leaves out.
func detailOf(t trial, code order.Code) string {
	for _, n := range t.results[len(t.results)-1].Plan.NotPlanned {
		if n.Order == code {
			return n.Detail
		}
	}
	return ""
}

// confidence gives how likely it is that every batch yields what the order wants of it, each with its overage, and that the
// receipt that decides is there: the product, as if they failed one without the other.
func (s *search) confidence(a Answer) float64 {
	p := 1.
	if _, released := s.Released[s.asked.Order]; released {
		p = s.Input.Practice.CompletionConfidence // of a released batch; nobody knows here how many wind for it
	}
	for _, d := range s.asked.Demands {
		m := s.making(d)
		p *= completes(d.Strings, s.overage(d.Strings, m.Yield), m.Yield)
	}
	for _, rc := range s.Receipts {
		if a.Decides.Receipt != nil && rc.Purchase == a.Decides.Receipt.Purchase && rc.Wire == a.Decides.Receipt.Wire && rc.Confidence > 0 {
			p *= rc.Confidence
			break
		}
	}
	return p
}

// completes gives P(Binomial(wound, yield) ≥ ordered), the terms in logarithms (standard probability, from memory).
func completes(ordered, wound int, yield float64) float64 {
	if yield >= 1 || ordered <= 0 {
		return 1
	}
	sum := 0.
	all, _ := math.Lgamma(float64(wound + 1))
	for k := ordered; k <= wound; k++ {
		a, _ := math.Lgamma(float64(k + 1))
		b, _ := math.Lgamma(float64(wound - k + 1))
		sum += math.Exp(all - a - b + float64(float64(k)*math.Log(yield)) + float64(float64(wound-k)*math.Log1p(-yield)))
	}
	return min(sum, 1)
}
