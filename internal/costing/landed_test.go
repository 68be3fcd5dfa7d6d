package costing_test

import (
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/costing"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// A late cost goes to the cent on wire on hand and on wire that is gone, and afterwards every spool is worth what it would be worth had it
// been received at that cost.
func TestLand(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		spools := make([]stock.Balance, rapid.IntRange(1, 8).Draw(r, "spools"))
		costs := make([]money.Minor, len(spools))
		var gone measure.Mass
		var all money.Minor
		for i := range spools {
			s := &spools[i]
			s.Gross = measure.Mass(rapid.IntRange(1, 5000).Draw(r, "received"))
			s.Cost = money.Minor(rapid.IntRange(0, 50_000).Draw(r, "cost"))
			s.Mass = measure.Mass(rapid.Int64Range(0, int64(s.Gross)).Draw(r, "left"))
			s.Value = money.Remaining(s.Cost, int64(s.Mass), int64(s.Gross))
			costs[i], gone, all = s.Cost, gone+s.Gross-s.Mass, all+s.Cost
		}
		difference := money.Minor(rapid.Int64Range(-int64(all), 100_000).Draw(r, "difference"))
		got := costing.Land(difference, costs, spools)
		sum := got.Consumed
		for i, s := range spools {
			sum += got.Held[i]
			if worth := money.Remaining(s.Cost+got.Parts[i], int64(s.Mass), int64(s.Gross)); s.Value+got.Held[i] != worth || worth < 0 {
				r.Fatalf("spool %+v is worth %d, want %d", s, s.Value+got.Held[i], worth)
			}
		}
		if sum != difference || sum != got.OnHand+got.Consumed || gone == 0 && got.Consumed != 0 {
			r.Fatalf("%+v of %d", got, difference)
		}
	})
	spools := []stock.Balance{
		{Spool: stock.Spool{Gross: 3000, Cost: 3000}, Mass: 1000, Value: 1000},
		{Spool: stock.Spool{Gross: 1000, Cost: 1000}, Mass: 1000, Value: 1000}}
	got := costing.Land(1001, []money.Minor{3000, 1000}, spools)
	if got.OnHand != 250+250 || got.Consumed != 501 { // 751 and 250; a third of 751 is 250.33
		t.Errorf("%+v", got)
	}
	free := costing.Land(100, []money.Minor{0, 0}, []stock.Balance{{Spool: stock.Spool{Gross: 3000}, Mass: 3000}, {Spool: stock.Spool{Gross: 1000}}})
	if free.OnHand != 75 || free.Consumed != 25 {
		t.Errorf("of wire that cost nothing: %+v", free)
	}
}

// Two spools at 100 and 110 a gram; half of the older is drawn from the newer one, and then 30 turn up on the older. What is left bears its
// share: by lot all of it, first in first out three quarters of it, and the average as much as the lot.
func TestLateCostByFormula(t *testing.T) {
	b := newBook()
	b.receive("W", 100, 10_000)
	b.receive("W", 100, 11_000)
	b.move(1, stock.Draw, -25)
	whole, used := b.land(0, 3_000)
	if want := (costing.Costs{Specific: 3_000, FIFO: 3_000, MovingAverage: 3_000}); whole.Costs != want || whole.Column != costing.Received {
		t.Errorf("came in at %+v in %s", whole.Costs, whole.Column)
	}
	if want := (costing.Costs{FIFO: -750}); used.Costs != want || used.Column != costing.Difference {
		t.Errorf("left at %+v in %s", used.Costs, used.Column)
	}
	// 21 000 for 200, a draw of 25 at the average 2 625
	if want := (costing.Costs{Specific: 10_000 + 8_250 + 3_000, FIFO: 7_500 + 11_000 + 2_250, MovingAverage: 18_375 + 3_000}); b.costs.Value("W").Value != want || b.failed != nil {
		t.Errorf("left is %+v, want %+v, %v", b.costs.Value("W").Value, want, b.failed)
	}
}

// A draw that is taken back after a late cost has the cost it had, and the wire is worth its new cost again.
func TestTakenBackAfterLateCost(t *testing.T) {
	b := newBook()
	b.receive("W", 100, 10_000)
	drawn := b.move(0, stock.Draw, -40)
	b.land(0, 1_000)
	back := b.reverse(drawn.Entry)
	if back.Cost != 4_000 || b.spools[0].Value != 11_000 || b.entries[len(b.entries)-1].Cost != 400 || b.failed != nil {
		t.Errorf("taken back at %d, %d on hand, then %+v, %v", back.Cost, b.spools[0].Value, b.entries[len(b.entries)-1], b.failed)
	}
}

// What the ledger cannot hold is refused: a late cost with mass, one that nothing settles, one that is taken back.
func TestLateCostsRefused(t *testing.T) {
	for name, do := range map[string]func(*book){
		"with mass": func(b *book) { b.cost(0, costing.Entry{Kind: stock.CostDifference, Mass: -1, Cost: 5}) },
		"unsettled": func(b *book) {
			b.cost(0, costing.Entry{Kind: stock.CostDifference, Cost: 5})
			b.cost(0, costing.Entry{Kind: stock.Draw, Mass: -1, Cost: -1})
		},
		"taken back": func(b *book) {
			whole, _ := b.land(0, 5)
			b.cost(0, costing.Entry{Kind: stock.Reversal, Cost: -5, Reverses: whole.ID})
		},
	} {
		b := newBook()
		b.receive("W", 100, 10_000)
		if do(b); b.failed == nil {
			t.Errorf("%s: not refused", name)
		}
	}
}
