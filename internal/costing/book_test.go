package costing_test

import (
	"fmt"
	"slices"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// book keeps spools as the shop does, with the ledger's own costs, and a costing ledger beside it.
type book struct {
	spools  []stock.Balance
	entries []costing.Entry
	costs   *costing.Ledger
	day     calendar.Date
	failed  error // the first refusal
}

var firstDay = calendar.NewDate(2026, time.January, 1)

func newBook() *book { return &book{costs: costing.NewLedger(), day: firstDay} }

func (b *book) receive(wire material.WireCode, mass measure.Mass, cost money.Minor) costing.Posted {
	code := stock.SpoolCode(fmt.Sprintf("S%d", len(b.spools)+1))
	b.spools = append(b.spools, stock.Balance{Spool: stock.Spool{Code: code, Wire: wire, Gross: mass, Cost: cost, Lot: "L" + string(code)}})
	return b.move(len(b.spools)-1, stock.Receipt, mass)
}

// move posts a change of a spool at the cost that the ledger gives it.
func (b *book) move(spool int, kind stock.Kind, mass measure.Mass) costing.Posted {
	return b.post(spool, costing.Entry{Kind: kind, Mass: mass})
}

// reverse takes a movement back as the shop does: at its own cost, and then a late cost that came after it.
func (b *book) reverse(e costing.Entry) costing.Posted {
	spool := slices.IndexFunc(b.spools, func(s stock.Balance) bool { return s.Code == e.Spool })
	s := b.spools[spool]
	p := b.cost(spool, costing.Entry{Kind: stock.Reversal, Mass: -e.Mass, Cost: s.CostBack(stock.Movement{Mass: e.Mass, Cost: e.Cost}), Reverses: e.ID})
	if owed := b.spools[spool].CostOf(0); owed != 0 {
		b.cost(spool, costing.Entry{Kind: stock.CostUsed, Cost: owed})
	}
	return p
}

// land puts a late cost on a spool.
func (b *book) land(spool int, late money.Minor) (whole, used costing.Posted) {
	_, gone := b.spools[spool].Land(late)
	whole = b.cost(spool, costing.Entry{Kind: stock.CostDifference, Cost: late})
	b.spools[spool].Late += late
	return whole, b.cost(spool, costing.Entry{Kind: stock.CostUsed, Cost: -gone})
}

func (b *book) post(spool int, e costing.Entry) costing.Posted {
	e.Cost = b.spools[spool].CostOf(e.Mass)
	return b.cost(spool, e)
}

func (b *book) cost(spool int, e costing.Entry) costing.Posted {
	s := &b.spools[spool]
	e.ID, e.Wire, e.Spool, e.Lot, e.On, e.At = stock.MovementID(len(b.entries)+1), s.Wire, s.Code, s.Lot, b.day, b.day.Time()
	s.Mass += e.Mass
	s.Value += e.Cost
	b.entries = append(b.entries, e)
	p, err := b.costs.Post(e)
	if b.failed == nil {
		b.failed = err
	}
	return p
}

// off draws from the spools of a wire in the order in which they came, as one movement where one spool has enough. It gives the
// sum as one.
func (b *book) off(wire material.WireCode, mass measure.Mass) (sum costing.Posted) {
	for i := range b.spools {
		if part := min(mass, b.spools[i].Mass); b.spools[i].Wire == wire && part > 0 {
			p := b.move(i, stock.Draw, -part)
			sum.Costs, sum.Mass = sum.Costs.Plus(p.Costs), sum.Mass+p.Mass
			mass -= part
		}
	}
	return sum
}

type wireCode = material.WireCode

type calendarDate = calendar.Date

func massOf(n int) measure.Mass { return measure.Mass(n) }

func minorOf(n int) money.Minor { return money.Minor(n) }
