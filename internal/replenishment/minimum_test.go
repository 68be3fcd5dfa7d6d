package replenishment

import (
	"slices"
	"testing"

	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// A must be ordered: a week's use and what is short, one pack for 15.00. E is used a gram a day, with room for one pack within a year.
func smallOrder(minimum money.Minor) Input {
	in := shop()
	in.Spools[0].Mass = 240 * gram
	in.Wires = append(in.Wires, round("E", 9, "slow"))
	in.Spools = append(in.Spools, spool("E", 90*gram))
	in.Usage = append(in.Usage, steady("E", gram, 1, 60)...)
	in.Suppliers = slices.Clone(suppliers[:1])
	in.Suppliers[0].OrderMinimum = minimum
	return in
}

func TestTopUpToTheMinimum(t *testing.T) {
	p := Night(smallOrder(60_00)).Purchases[0]
	if len(p.Lines) != 2 || p.Total != 60_00 || p.BelowMinimum || p.Note != "" {
		t.Fatalf("%+v", p)
	}
	a, e := p.Lines[0], p.Lines[1]
	if a.Packs != 3 || a.Extra != 2 || a.Reason() != "below its order point; 2 packs of it to reach the supplier's minimum" {
		t.Errorf("the wire that lasts shortest: %+v %s", a, a.Reason())
	}
	if e.Packs != 1 || e.Extra != 1 || e.Reason() != "to reach the supplier's minimum" {
		t.Errorf("the one with 90 days: %+v %s", e, e.Reason())
	}
}

func TestAMinimumThatIsNotWorthReaching(t *testing.T) {
	p := Night(smallOrder(300_00)).Purchases[0]
	// 3650 g of A in a year, 240 g held: room for 13 packs; and for one of E
	if !p.BelowMinimum || len(p.Lines) != 1 || p.Total != 15_00 {
		t.Fatalf("%+v", p)
	}
	const want = "15.00 EUR is 285.00 EUR below the 300.00 EUR that slow takes orders for; all of its wire that would be used up in 365 days makes 210.00 EUR. " +
		"To order all the same may cost up to 285.00 EUR more; ask slow. To wait means that A may run out from 2026-03-27 on."
	if p.Note != want {
		t.Errorf("got  %s\nwant %s", p.Note, want)
	}
}

func TestDeadWireIsNotAddedToReachAMinimum(t *testing.T) {
	in := smallOrder(300_00)
	in.Usage = append(steady("A", 10*gram, 1, 60), stock.Usage{On: today - 400, Wire: "E", Mass: 300 * gram})
	if p := Night(in).Purchases[0]; len(p.Lines) != 1 || !p.BelowMinimum {
		t.Errorf("%+v", p)
	}
}

// Freight is on top of the lines and no part of the supplier's minimum; the dearer an order, the more is bought in it.
func TestFreight(t *testing.T) {
	in := smallOrder(0)
	without := Night(in).Purchases[0]
	in.Suppliers[0].Freight, in.Suppliers[0].FreightPerKg = 12_00, 1_00
	with := Night(in).Purchases[0]
	if with.Freight != 12_00+money.Share(1_00, int64(with.Lines[0].Mass+lineMass(with, 1)), 1e6) || with.Total != with.Goods()+with.Freight {
		t.Errorf("%+v", with)
	}
	if without.Freight != 0 || with.Lines[0].Packs <= without.Lines[0].Packs {
		t.Errorf("without freight %+v, with %+v", without, with)
	}
	in.Suppliers[0].OrderMinimum = with.Goods() + 1
	if p := Night(in).Purchases[0]; p.Goods() <= with.Goods() {
		t.Errorf("freight counted for the minimum: %+v", p)
	}
}

func lineMass(p Purchase, i int) measure.Mass {
	if i < len(p.Lines) {
		return p.Lines[i].Mass
	}
	return 0
}
