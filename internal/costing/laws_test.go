package costing_test

import (
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/costing"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// replay reads entries into a new ledger and sums, by wire, what they cost and what was revalued.
func replay(r *rapid.T, entries []costing.Entry, see func(*costing.Ledger, costing.Posted)) *costing.Ledger {
	l := costing.NewLedger()
	for _, e := range entries {
		p, err := l.Post(e)
		if err != nil {
			r.Fatal(err)
		}
		see(l, p)
	}
	return l
}

// What came in is what went out and what is left, at every moment, under each formula; nothing left is worth nothing, and
// nothing is worth less than that.
func TestNothingLeaks(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		b := randomBook(r)
		sums := map[string]costing.Costs{}
		unsettled := map[stock.MovementID]bool{} // what CostUsed follows happens at once with it
		for _, e := range b.entries {
			unsettled[e.ID-1] = e.Kind == stock.CostUsed
		}
		replay(r, b.entries, func(l *costing.Ledger, p costing.Posted) {
			wire := string(p.Wire)
			sums[wire] = sums[wire].Plus(p.Costs).Plus(p.Revalued)
			v := l.Value(p.Wire)
			if v.Value != sums[wire] {
				r.Fatalf("after movement %d %s is worth %+v, its movements cost %+v", p.ID, wire, v.Value, sums[wire])
			}
			if p.Revalued != (costing.Costs{}) {
				r.Fatalf("movement %d revalues %+v though nothing was short", p.ID, p.Revalued)
			}
			for _, f := range costing.Formulas() {
				if value := v.Value.Of(f); !unsettled[p.ID] && (value < 0 || v.Mass == 0 && value != 0) {
					r.Fatalf("after movement %d %s of %s are worth %d by %s", p.ID, v.Mass, wire, value, f)
				}
			}
		})
	})
}

// The specific cost is the ledger's own.
func TestSpecificIsTheLedger(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		b := randomBook(r)
		for _, wire := range wires {
			var mass measure.Mass
			var value money.Minor
			for _, s := range b.spools {
				if s.Wire == wire {
					mass, value = mass+s.Mass, value+s.Value
				}
			}
			if v := b.costs.Value(wire); v.Mass != mass || v.Value.Specific != value {
				r.Fatalf("%s: %+v, the spools hold %s worth %d", wire, v, mass, value)
			}
		}
	})
}

// shelf receives spools of one wire and gives what they hold together.
func shelf(r *rapid.T, cost func(measure.Mass) money.Minor) (b *book, all measure.Mass) {
	b = newBook()
	for range rapid.IntRange(1, 6).Draw(r, "spools") {
		net := measure.Mass(rapid.IntRange(1, 100_000).Draw(r, "net"))
		b.receive("W", net, cost(net))
		all += net
	}
	return b, all
}

func anyCost(r *rapid.T) func(measure.Mass) money.Minor {
	return func(measure.Mass) money.Minor { return money.Minor(rapid.IntRange(0, 100_000).Draw(r, "cost")) }
}

// In how many parts wire is drawn does not matter: any split costs the same together.
func TestSplitCostsTheSame(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		b, all := shelf(r, anyCost(r))
		whole := costing.NewLedger()
		for _, e := range b.entries {
			if _, err := whole.Post(e); err != nil {
				r.Fatal(err)
			}
		}
		var drawn measure.Mass
		var sum costing.Costs
		for range rapid.IntRange(1, 12).Draw(r, "draws") {
			part := measure.Mass(rapid.Int64Range(0, int64(all-drawn)).Draw(r, "part"))
			sum = sum.Plus(b.off("W", part).Costs)
			drawn += part
		}
		one, err := whole.Post(costing.Entry{ID: 1 << 40, Wire: "W", Kind: stock.Draw, Mass: -drawn, On: b.day, At: b.day.Time()})
		if err != nil {
			r.Fatal(err)
		}
		if sum.FIFO != one.Costs.FIFO || sum.MovingAverage != one.Costs.MovingAverage {
			r.Fatalf("in parts %+v, in one %+v", sum, one.Costs)
		}
	})
}

// Where each lot is used up before the next one is begun, first in first out is the specific cost, draw by draw.
func TestFIFOIsSpecificInOrder(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		b, all := shelf(r, anyCost(r))
		for all > 0 {
			part := measure.Mass(rapid.Int64Range(1, int64(all)).Draw(r, "part"))
			if p := b.off("W", part); p.Costs.FIFO != p.Costs.Specific {
				r.Fatalf("%s: %+v", part, p.Costs)
			}
			all -= part
		}
	})
}

// At one constant price no formula differs from another, whichever spool is drawn from.
func TestConstantPrice(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		b, _ := shelf(r, func(net measure.Mass) money.Minor { return 3 * money.Minor(net) })
		for range rapid.IntRange(1, 20).Draw(r, "draws") {
			spool := rapid.IntRange(0, len(b.spools)-1).Draw(r, "spool")
			p := b.move(spool, stock.Draw, -measure.Mass(rapid.Int64Range(0, int64(b.spools[spool].Mass)).Draw(r, "mass")))
			if want := 3 * money.Minor(p.Mass); p.Costs != (costing.Costs{Specific: want, FIFO: want, MovingAverage: want}) {
				r.Fatalf("%s costs %+v, want %d", p.Mass, p.Costs, want)
			}
		}
	})
}

// A movement that is taken back at once leaves every value as it was.
func TestReversedAtOnce(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		b := randomBook(r)
		if len(b.entries) == 0 {
			return
		}
		last := b.entries[len(b.entries)-1]
		if last.Kind == stock.Reversal || last.Kind == stock.CostUsed {
			return
		}
		before := replay(r, b.entries[:len(b.entries)-1], func(*costing.Ledger, costing.Posted) {})
		b.reverse(last)
		if got, want := b.costs.Value(last.Wire), before.Value(last.Wire); got.Value != want.Value || got.Mass != want.Mass {
			r.Fatalf("%s of %s: %+v before, %+v after it was taken back", last.Kind, last.Mass, want, got)
		}
	})
}

// A draw that is taken back later has the cost that it had: exactly under the moving average, and under FIFO unless its very layers
// were drawn from meanwhile, when the cumulative rounding of each may tell a cent.
func TestReversedLater(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		b, all := shelf(r, anyCost(r))
		spool := rapid.IntRange(0, len(b.spools)-1).Draw(r, "spool")
		first := b.move(spool, stock.Draw, -measure.Mass(rapid.Int64Range(1, int64(b.spools[spool].Mass)).Draw(r, "mass")))
		b.off("W", measure.Mass(rapid.Int64Range(0, int64(all+first.Mass)).Draw(r, "meanwhile")))
		b.receive("W", 1000, 123_456)
		back := b.reverse(first.Entry)
		if back.Costs.MovingAverage != -first.Costs.MovingAverage {
			r.Fatalf("average: %d taken back at %d", first.Costs.MovingAverage, back.Costs.MovingAverage)
		}
		if off := back.Costs.FIFO + first.Costs.FIFO; max(off, -off) > money.Minor(len(b.spools)) {
			r.Fatalf("fifo: %d taken back at %d", first.Costs.FIFO, back.Costs.FIFO)
		}
	})
}
