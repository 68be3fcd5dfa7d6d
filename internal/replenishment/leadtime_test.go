package replenishment

import (
	"math"
	"testing"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
)

var (
	today     = calendar.NewDate(2026, 3, 2)
	suppliers = []catalog.Supplier{{Code: "slow", LeadDays: 20, LeadDaysSD: 2}, {Code: "new", LeadDays: 10, LeadDaysSD: 1}}
)

// delivered is a purchase promised in 20 days.
func delivered(supplier string, days int) Delivery {
	return Delivery{supplier, today - 100, today - 80, today - 100 + calendar.Date(days)}
}

func TestLeadTimes(t *testing.T) {
	var all []Delivery
	for _, days := range []int{22, 24, 26, 28} {
		all = append(all, delivered("slow", days))
	}
	four := LeadTimes(suppliers, all)
	if l := four["slow"]; l.Learned || l.Days != 20 || l.SD != 2 || l.Receipts != 4 {
		t.Errorf("four receipts in all: %+v", l)
	}
	all = append(all, delivered("slow", 30), Delivery{Supplier: "slow", OrderedOn: today, ReceivedOn: today - 1})
	five := LeadTimes(suppliers, all)
	if l := five["slow"]; !l.Learned || l.Days != 26 || !near(l.SD, math.Sqrt(10), 1e-12) || l.Ratio != 1.3 || l.Receipts != 5 {
		t.Errorf("five of its own: %+v", l)
	}
	if l := five["new"]; l.Learned || !near(l.Days, 13, 1e-12) || !near(l.SD, math.Sqrt(10)/2, 1e-12) || l.Receipts != 0 {
		t.Errorf("none of its own: %+v", l)
	}
	if got := five["new"].Protection(1, 2); got != 16 {
		t.Errorf("protection of %d days, want 13 + 1 + 2", got)
	}
	noPromise := LeadTimes(suppliers, []Delivery{{"new", today, 0, today + 20}, {"new", today, 0, today + 20}, {"new", today, 0, today + 20},
		{"slow", today, 0, today + 20}, {"slow", today, 0, today + 20}})
	if l := noPromise["new"]; !near(l.Ratio, 100./70, 1e-12) {
		t.Errorf("against the quoted time: %+v", l)
	}
}
