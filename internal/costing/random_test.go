package costing_test

import (
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/calendar"
	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

var wires = []material.WireCode{"plain-010", "bronze-020"}

// randomBook draws a year of a shop: spools of two wires at any price, draws, scrap, weighings that gain and lose, counts, write-offs,
// returns, late costs and credits, and reversals of all but those.
func randomBook(r *rapid.T) *book {
	b := newBook()
	reversed := map[stock.MovementID]bool{}
	for range rapid.IntRange(1, 60).Draw(r, "moves") {
		b.day += calendar.Date(rapid.IntRange(0, 12).Draw(r, "days"))
		if len(b.spools) == 0 || rapid.IntRange(0, 4).Draw(r, "receive") == 0 {
			b.receive(rapid.SampledFrom(wires).Draw(r, "wire"), measure.Mass(rapid.IntRange(1, 2000).Draw(r, "net")),
				money.Minor(rapid.IntRange(0, 5000).Draw(r, "cost")))
			continue
		}
		if rapid.IntRange(0, 4).Draw(r, "reverse") == 0 {
			b.reverseAny(r, reversed)
			continue
		}
		spool := rapid.IntRange(0, len(b.spools)-1).Draw(r, "spool")
		s := b.spools[spool]
		if rapid.IntRange(0, 5).Draw(r, "late") == 0 {
			b.land(spool, money.Minor(rapid.Int64Range(-int64(s.Cost+s.Late), 3000).Draw(r, "late cost")))
			continue
		}
		kind := rapid.SampledFrom([]stock.Kind{stock.Draw, stock.Draw, stock.Draw, stock.Scrap, stock.WeighBack, stock.CountDifference,
			stock.ReturnToSupplier, stock.WriteOff}).Draw(r, "kind")
		most := measure.Mass(0)
		if kind == stock.WeighBack || kind == stock.CountDifference {
			most = s.Net() - s.Mass
		}
		b.move(spool, kind, measure.Mass(rapid.Int64Range(-int64(s.Mass), int64(most)).Draw(r, "mass")))
	}
	if b.failed != nil {
		r.Fatal(b.failed)
	}
	return b
}

// reverseAny takes back a movement, where its spool allows that.
func (b *book) reverseAny(r *rapid.T, reversed map[stock.MovementID]bool) {
	e := rapid.SampledFrom(b.entries).Draw(r, "entry")
	for _, s := range b.spools {
		if s.Code == e.Spool && s.Check(-e.Mass) == nil && !reversed[e.ID] && e.Kind != stock.Reversal && e.Kind != stock.CostDifference && e.Kind != stock.CostUsed {
			reversed[e.ID] = true
			b.reverse(e)
			return
		}
	}
}

// byMixed values the first wire by the moving average from February and by FIFO from July of the year, the other as the ledger has it.
func byMixed() costing.Choice {
	methods := costing.Methods{
		{Family: "steel", Formula: costing.MovingAverage, From: costing.NewPeriod(2026, time.February)},
		{Family: "steel", Formula: costing.FIFO, From: costing.NewPeriod(2026, time.July)},
	}
	return methods.Choice(func(w material.WireCode) string {
		if w == wires[0] {
			return "Steel"
		}
		return "bronze"
	})
}
