package costing_test

import (
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/costing"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// roll reads entries and gives the months from and to.
func roll(t interface{ Fatal(...any) }, entries []costing.Entry, from, to costing.Period, choice costing.Choice) ([]costing.Roll, *costing.Ledger) {
	r := costing.NewRoller(from, to, choice)
	for _, e := range entries {
		if _, err := r.Post(e); err != nil {
			t.Fatal(err)
		}
	}
	return r.Months(), r.Ledger()
}

// Any random months roll forward in milligrams and in cents; a year is its months; and read from any month on they are the same.
func TestMonthsRollForward(t *testing.T) {
	january := costing.NewPeriod(2026, time.January)
	rapid.Check(t, func(r *rapid.T) {
		b := randomBook(r)
		months, ledger := roll(r, b.entries, january, january+23, byMixed())
		for _, m := range months {
			for _, l := range m.Lines {
				if l.Off() != (costing.Quantity{}) || l.Revalued.Mass != 0 {
					r.Fatalf("%s: %+v is off by %v", m.Name(), l, l.Off())
				}
			}
			if off := m.Total().Off(); off != (costing.Quantity{}) {
				r.Fatalf("%s: the total is off by %v", m.Name(), off)
			}
		}
		year, err := costing.Chain(months...)
		if err != nil {
			r.Fatal(err)
		}
		for _, l := range year.Lines {
			v := ledger.Value(l.Wire)
			want := costing.Quantity{Mass: v.Mass, Cost: v.Value.Of(byMixed()(l.Wire, january+23))}
			if l.Off() != (costing.Quantity{}) || l.Opening != (costing.Quantity{}) || l.Closing != want {
				r.Fatalf("the year's line %+v does not lead from nothing to %v", l, want)
			}
		}
		later := rapid.IntRange(1, 23).Draw(r, "later")
		some, _ := roll(r, b.entries, january+costing.Period(later), january+23, byMixed())
		if digest(some...) != digest(months[later:]...) {
			r.Fatalf("read from month %d on, the months differ", later)
		}
	})
}

func digest(rolls ...costing.Roll) string {
	var d costing.Digest
	for _, r := range rolls {
		d.Roll(r)
	}
	return d.Sum()
}

// A closed month replayed from a ledger that went on meanwhile has the same hash, in whatever order the rows come; and another
// figure has another.
func TestClosedMonthReplays(t *testing.T) {
	freeze := func(r *rapid.T, entries []costing.Entry, p costing.Period, shuffle bool) string {
		var d costing.Digest
		roller := costing.NewRoller(p, p, byMixed())
		var posted []costing.Posted
		for _, e := range entries {
			out, err := roller.Post(e)
			if err != nil {
				r.Fatal(err)
			}
			if p.Holds(e.On) {
				posted = append(posted, out)
			}
		}
		month := roller.Months()[0]
		if shuffle {
			slices.Reverse(posted)
			slices.Reverse(month.Lines)
		}
		d.Roll(month)
		for _, one := range posted {
			d.Posted(one)
		}
		return d.Sum()
	}
	rapid.Check(t, func(r *rapid.T) {
		b := randomBook(r)
		if len(b.entries) == 0 {
			return
		}
		p := costing.PeriodOf(b.entries[len(b.entries)-1].On)
		closed := freeze(r, b.entries, p, false)
		changed := slices.Clone(b.entries)
		b.day = max(b.day, (p + 1).First())
		b.receive(wires[0], 1000, 7777)
		b.off(wires[0], 500)
		if again := freeze(r, b.entries, p, true); again != closed {
			r.Fatal("the closed month has another hash after the next one went on")
		}
		changed[len(changed)-1].Cost++
		if freeze(r, changed, p, false) == closed {
			r.Fatal("a cent more has the same hash")
		}
	})
}

func TestRollColumns(t *testing.T) {
	january := costing.NewPeriod(2026, time.January)
	entries := []costing.Entry{
		on(1, 1, stock.Receipt, 100, 1000), on(2, 2, stock.Draw, -20, -200), on(3, 3, stock.Scrap, -5, -50), on(4, 4, stock.WriteOff, -1, -10),
		on(5, 5, stock.WeighBack, 3, 30), on(6, 6, stock.CountDifference, -1, -10), on(7, 7, stock.ReturnToSupplier, -10, -100),
		reversing(on(8, 8, stock.Reversal, 20, 200), 2), on(40, 9, stock.Draw, -6, -60),
	}
	months, _ := roll(t, entries, january, january+1, costing.Methods(nil).Choice(func(w wireCode) string { return "" }))
	q := func(mass, cost int) costing.Quantity {
		return costing.Quantity{Mass: massOf(mass), Cost: minorOf(cost)}
	}
	want := []costing.RollLine{
		{Wire: "W", Formula: costing.Specific, Received: q(90, 900), Scrap: q(6, 60), Difference: q(2, 20), Closing: q(86, 860)},
		{Wire: "W", Formula: costing.Specific, Opening: q(86, 860), Drawn: q(6, 60), Closing: q(80, 800)},
	}
	for i, m := range months {
		if len(m.Lines) != 1 || m.Lines[0] != want[i] {
			t.Errorf("%s: %+v, want %+v", m.Name(), m.Lines, want[i])
		}
	}
}

// A change of formula is a line of its own, and the opening figure is that of the closed month.
func TestChangeOfFormula(t *testing.T) {
	january := costing.NewPeriod(2026, time.January)
	entries := []costing.Entry{on(1, 1, stock.Receipt, 10, 100), on(2, 2, stock.Receipt, 10, 300), on(3, 3, stock.Draw, -10, -100)}
	methods := costing.Methods{{Formula: costing.FIFO, From: january}, {Formula: costing.MovingAverage, From: january + 1}}
	months, _ := roll(t, entries, january, january+2, methods.Choice(func(wireCode) string { return "steel" }))
	var got []money.Minor
	for _, m := range months {
		l := m.Lines[0]
		got = append(got, l.Opening.Cost, l.Revalued.Cost, l.Closing.Cost)
	}
	if want := []money.Minor{0, 0, 300, 300, -100, 200, 200, 0, 200}; !slices.Equal(got, want) {
		t.Errorf("opening, revalued, closing by month: %v, want %v", got, want)
	}
}

func TestChainRefuses(t *testing.T) {
	january := costing.NewPeriod(2026, time.January)
	line := costing.RollLine{Wire: "W", Closing: costing.Quantity{Mass: 1, Cost: 1}}
	one := costing.Roll{From: january, To: january, Lines: []costing.RollLine{line}}
	gap, torn := one, costing.Roll{From: january + 1, To: january + 1}
	gap.From, gap.To = january+2, january+2
	for name, second := range map[string]costing.Roll{"a gap": gap, "another opening": torn} {
		if _, err := costing.Chain(one, second); err == nil {
			t.Errorf("%s is chained", name)
		}
	}
}
