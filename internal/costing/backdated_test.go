package costing_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/calendar"
	"windingroom/internal/costing"
	"windingroom/internal/stock"
)

// backdate moves entries, but no receipts, late costs and reversals, to earlier days on which their spool was here, as results and weighings that are
// told late are.
func backdate(r *rapid.T, entries []costing.Entry) []costing.Entry {
	arrived := map[stock.SpoolCode]calendar.Date{}
	late := slices.Clone(entries)
	for i := range late {
		e := &late[i]
		switch {
		case e.Kind == stock.Receipt:
			arrived[e.Spool] = e.On
		case e.Kind != stock.Reversal && e.Kind != stock.CostDifference && e.Kind != stock.CostUsed && rapid.Bool().Draw(r, "late"):
			e.On = calendar.Date(rapid.Int32Range(int32(arrived[e.Spool]), int32(e.On)).Draw(r, "on"))
			e.At = e.On.Time()
		}
	}
	slices.SortFunc(late, costing.Entry.Compare)
	return late
}

// Movements as of earlier days may take wire before it appeared. Nothing leaks all the same: what came in, what was revalued and
// what went out make what is left, an empty wire is worth nothing by FIFO and by the average at every moment, and by the ledger's
// own cost in the end, and the months roll forward.
func TestBackdatedEntriesLeakNothing(t *testing.T) {
	short := 0
	rapid.Check(t, func(r *rapid.T) {
		late := backdate(r, randomBook(r).entries)
		sums := map[wireCode]costing.Costs{}
		l := replay(r, late, func(l *costing.Ledger, p costing.Posted) {
			sums[p.Wire] = sums[p.Wire].Plus(p.Costs).Plus(p.Revalued)
			v := l.Value(p.Wire)
			if v.Value != sums[p.Wire] {
				r.Fatalf("after movement %d %s is worth %+v, its movements cost %+v", p.ID, p.Wire, v.Value, sums[p.Wire])
			}
			if v.Mass == 0 && p.Kind != stock.CostDifference && (v.Value.FIFO != 0 || v.Value.MovingAverage != 0) {
				r.Fatalf("after movement %d nothing of %s is worth %+v", p.ID, p.Wire, v.Value)
			}
			if v.Mass < 0 {
				short++
			}
		})
		for _, v := range l.Valuations() {
			if v.Mass == 0 && v.Value != (costing.Costs{}) {
				r.Fatalf("in the end nothing of %s is worth %+v", v.Wire, v.Value)
			}
		}
		first := costing.PeriodOf(firstDay)
		months, _ := roll(r, late, first, first+24, byMixed())
		for _, m := range months {
			if off := m.Total().Off(); off != (costing.Quantity{}) {
				r.Fatalf("%s is off by %v", m.Name(), off)
			}
		}
	})
	if short == 0 {
		t.Error("no wire was ever short: the test shows nothing")
	}
}
