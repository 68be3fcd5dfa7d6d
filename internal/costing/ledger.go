package costing

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// Ledger values movements under every formula as they are read, one at a time, in the order of Entry.Compare. It keeps a layer for
// each receipt and a line for each movement, which a reversal may name; no entries.
//
// Receipts enter at the ledger's cost under every formula. Wire that leaves is costed by the formula. Wire that appears at a
// weighing cost nothing (IAS 2, paragraph 10: inventories bear costs incurred), so it only takes back consumption that was counted
// too high: at the cost of what was drawn last under FIFO, at the average as it is under the moving average. A reversal has the
// cost of what it reverses: under FIFO on the very layers, and so to the cent unless they were drawn from meanwhile; under the
// moving average exactly, unless the wire left could not carry it.
//
// A late cost belongs to its receipt: under FIFO what is left of that very layer bears it, under the moving average, which cannot tell
// one receipt from another, as much as is left of it by the ledger; the rest leaves again with the movement after it (CostUsed).
//
// A movement as of an earlier day may take wire that had not appeared yet. What is short is costed at the latest price known and
// settled by the next receipt, which shows as Posted.Revalued.
type Ledger struct {
	wires map[material.WireCode]*pool
	moves map[stock.MovementID]moved

	reversed map[stock.MovementID]bool // those kept; nil for all
	last     Entry
}

// pool is one wire under every formula.
type pool struct {
	mass     measure.Mass
	specific money.Minor
	fifo     fifo
	average  average
	late     *late // that the next movement settles
}

// late is a cost that turned up and what of it is not on wire yet.
type late struct {
	spool         stock.SpoolCode
	fifo, average money.Minor
}

// value gives what the wire is worth under each formula.
func (p *pool) value() Costs {
	v := Costs{p.specific, p.fifo.value(), p.average.value}
	if p.late != nil {
		v.FIFO, v.MovingAverage = v.FIFO+p.late.fifo, v.MovingAverage+p.late.average
	}
	return v
}

// moved is what a reversal must know of a movement.
type moved struct {
	column  Column
	kind    stock.Kind
	average money.Minor
	took    []take
}

// NewLedger gives a ledger without entries.
func NewLedger() *Ledger {
	return &Ledger{wires: map[material.WireCode]*pool{}, moves: map[stock.MovementID]moved{}}
}

// Reversed tells beforehand which movements will be reversed, so that a long ledger need not remember the others. A reversal of another one
// is refused.
func (l *Ledger) Reversed(ids map[stock.MovementID]bool) { l.reversed = ids }

// Post reads the next entry. It refuses what no sound ledger holds; the ledger is of no use after that.
func (l *Ledger) Post(e Entry) (Posted, error) {
	out := Posted{Entry: e}
	if e.Compare(l.last) < 0 {
		return out, fmt.Errorf("movement %d of %s after movement %d of %s: %w", e.ID, e.On, l.last.ID, l.last.On, ErrOrder)
	}
	l.last = e
	p := l.wires[e.Wire]
	if p == nil {
		p = &pool{}
		l.wires[e.Wire] = p
	}
	m, err := l.move(p, &out)
	if err != nil {
		return out, fmt.Errorf("movement %d of %s, wire %s: %w", e.ID, e.On, e.Wire, err)
	}
	if l.reversed == nil || l.reversed[e.ID] {
		l.moves[e.ID] = m
	}
	p.mass += e.Mass
	p.specific += e.Cost
	out.Column, out.Costs.Specific, out.Costs.MovingAverage = m.column, e.Cost, m.average
	return out, nil
}

// move does an entry to the pool under FIFO and the moving average.
func (l *Ledger) move(p *pool, out *Posted) (m moved, err error) {
	e := out.Entry
	m.column, _ = ColumnOf(e.Kind)
	m.kind = e.Kind
	switch {
	case p.late != nil && (e.Kind != stock.CostUsed || e.Spool != p.late.spool):
		return m, fmt.Errorf("the cost difference before it is not settled: %w", ErrOrder)
	case e.Kind == stock.Receipt:
		return p.receive(out)
	case len(p.fifo.layers) == 0:
		return m, ErrNothing
	case e.Kind == stock.Reversal:
		return l.reverse(p, out)
	case e.Kind == stock.CostDifference, e.Kind == stock.CostUsed:
		err = p.land(&m, out)
		return m, err
	case m.column == "", m.column != Difference && e.Mass > 0:
		return m, ErrKind
	case e.Mass < 0:
		out.Costs.FIFO, m.took = p.fifo.issue(-e.Mass)
	case e.Mass > 0:
		out.Costs.FIFO, m.took = p.fifo.putBack(e.Mass, nil)
	}
	m.average = p.average.move(e.Mass)
	return m, nil
}

func (p *pool) receive(out *Posted) (moved, error) {
	e := out.Entry
	if e.Mass <= 0 || e.Cost < 0 {
		return moved{}, ErrKind
	}
	m := moved{column: Received, kind: e.Kind, average: e.Cost, took: make([]take, 1)}
	out.Costs.FIFO = e.Cost
	out.Revalued.FIFO, m.took[0] = p.fifo.receive(e.Spool, e.Mass, e.Cost)
	out.Revalued.MovingAverage = p.average.receive(e.Mass, e.Cost)
	return m, nil
}

// land does a late cost: first all of it comes in, then what wire that is gone would bear leaves. CostUsed by itself is what the ledger
// puts back beside a reversal; the formulas have no need of it, since they take that back at their own costs.
func (p *pool) land(m *moved, out *Posted) error {
	e := out.Entry
	switch {
	case e.Mass != 0:
		return ErrKind
	case e.Kind == stock.CostDifference:
		p.late = &late{spool: e.Spool, fifo: e.Cost - p.fifo.land(e.Spool, e.Cost), average: e.Cost}
		out.Costs.FIFO, m.average = e.Cost, e.Cost
	case p.late != nil:
		held := p.late.average + e.Cost
		out.Costs.FIFO, m.average = -p.late.fifo, p.average.add(held)-p.late.average
		p.late = nil
	}
	return nil
}

// reverse takes a movement back.
func (l *Ledger) reverse(p *pool, out *Posted) (m moved, err error) {
	was, ok := l.moves[out.Reverses]
	if !ok {
		return m, fmt.Errorf("it reverses movement %d, which is not before it: %w", out.Reverses, ErrOrder)
	}
	m.column = was.column
	switch {
	case was.kind == stock.CostDifference, was.kind == stock.CostUsed:
		return m, ErrKind
	case out.Mass < 0:
		out.Costs.FIFO, m.took = p.fifo.cancel(-out.Mass, was.took)
		if was.kind == stock.Receipt {
			p.fifo.close(was.took)
		}
	case out.Mass > 0:
		out.Costs.FIFO, m.took = p.fifo.putBack(out.Mass, was.took)
	}
	m.average = p.average.reverse(out.Mass, was.average)
	return m, nil
}

// Valuation is what is on hand of a wire and what it is worth under each formula.
type Valuation struct {
	Wire  material.WireCode
	Mass  measure.Mass
	Value Costs
}

// Value gives a wire as it stands after the entries so far.
func (l *Ledger) Value(wire material.WireCode) Valuation {
	v := Valuation{Wire: wire}
	if p := l.wires[wire]; p != nil {
		v.Mass, v.Value = p.mass, p.value()
	}
	return v
}

// Valuations gives every wire that the ledger has seen, by code, also those of which nothing is left.
func (l *Ledger) Valuations() []Valuation {
	list := make([]Valuation, 0, len(l.wires))
	for _, wire := range slices.SortedFunc(maps.Keys(l.wires), cmp.Compare[material.WireCode]) {
		list = append(list, l.Value(wire))
	}
	return list
}
