package stock

import (
	"cmp"
	"slices"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Watched is a spool with what says whether it should be weighed.
type Watched struct {
	Balance     Balance
	Class       Class
	WeighedOn   calendar.Date // zero: never since it was received
	Uncertainty measure.Mass  // of the balance now, k = 2
}

// Reason is why a spool should be weighed.
type Reason string

// The reasons, the most pressing first.
const (
	PromiseInDoubt Reason = "what is left after allocation is less than its uncertainty"
	NeverWeighed   Reason = "drawn from and never weighed since it was received"
	Overdue        Reason = "its class is due to be weighed"
	Uncertain      Reason = "its balance is less certain than its class wants"
)

// ToWeigh is a spool of the short list.
type ToWeigh struct {
	Spool   SpoolCode
	Reasons []Reason    // in the order above, one at least
	Overdue int         // days beyond the interval of its class
	AtRisk  money.Minor // cost of the wire that may not be there
}

// ToWeighToday gives the spools to weigh on a day, riskiest first and no more than most: before all others those whose
// allocated wire may not be there, then by the cost of what may not be there, the days overdue, the number of reasons and the
// spool's code. A spool that the books call empty is left out. The order is judgement: a batch that runs short costs a day at
// the machine, a wrong valuation a correction.
func ToWeighToday(spools []Watched, today calendar.Date, most int) []ToWeigh {
	var list []ToWeigh
	for _, w := range spools {
		if reasons := w.reasons(today); w.Balance.Mass > 0 && len(reasons) > 0 {
			list = append(list, ToWeigh{w.Balance.Code, reasons, max(w.overdue(today), 0), w.atRisk()})
		}
	}
	slices.SortFunc(list, riskier)
	return list[:min(len(list), max(most, 0))]
}

func riskier(a, b ToWeigh) int {
	doubt := func(t ToWeigh) int {
		if t.Reasons[0] == PromiseInDoubt {
			return 0
		}
		return 1
	}
	return cmp.Or(
		cmp.Compare(doubt(a), doubt(b)), cmp.Compare(b.AtRisk, a.AtRisk), cmp.Compare(b.Overdue, a.Overdue),
		cmp.Compare(len(b.Reasons), len(a.Reasons)), cmp.Compare(a.Spool, b.Spool),
	)
}

func (w Watched) reasons(today calendar.Date) []Reason {
	var list []Reason
	if w.Balance.Allocated > 0 && w.Balance.Free() < w.Uncertainty {
		list = append(list, PromiseInDoubt)
	}
	if w.WeighedOn.IsZero() && w.Balance.Mass < w.Balance.Net() {
		list = append(list, NeverWeighed)
	}
	if w.overdue(today) > 0 {
		list = append(list, Overdue)
	}
	if w.Uncertainty > w.Class.Tolerance(w.Balance.Mass) && w.WeighedOn < today { // a scale tells no more of what it told today
		list = append(list, Uncertain)
	}
	return list
}

// overdue gives the days since the spool should have been weighed; a spool is weighed when it is received.
func (w Watched) overdue(today calendar.Date) int {
	last := w.WeighedOn
	if last.IsZero() {
		last = w.Balance.ReceivedOn
	}
	return int(today-last) - w.Class.Interval()
}

// atRisk gives the cost of what may not be there: the value of the wire within the uncertainty of the balance.
func (w Watched) atRisk() money.Minor {
	return money.Share(w.Balance.Value, int64(min(w.Uncertainty, w.Balance.Mass)), int64(w.Balance.Mass))
}
