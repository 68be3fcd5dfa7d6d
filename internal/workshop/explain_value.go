package workshop

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// ValueColumns are the columns of the roll-forward by the books' methods that can be explained.
var ValueColumns = append(slices.Clone(ExplainColumns), "revalued")

// ExplainedValue is a figure by a cost formula with everything it is made of.
type ExplainedValue struct {
	Month    costing.Period
	Wire     material.WireCode
	Column   string
	Formula  costing.Formula
	Currency money.Currency
	Total    costing.Quantity // as it stands in the roll-forward by that formula
	Layers   []costing.Layer  // FIFO, of an opening or a closing: they sum to Total
	Lines    []ValuedLine     // of an opening or a closing every movement up to then; they sum to Total, with Changed
	Changed  money.Minor      // of revalued: what a change of method at the month's beginning made
	Before   costing.Formula  // the method before that change; empty: there was none
}

// ValuedLine is a movement as a formula costs it.
type ValuedLine struct {
	ExplainedLine
	Mass     measure.Mass     // as the column counts it
	Cost     money.Minor      // by the formula, as the column counts it
	Revalued money.Minor      // beside Cost: wire drawn before it came, settled by this receipt
	Parts    []costing.Part   // FIFO: the layers that it took from or went back on
	After    costing.Quantity // what was there of the wire after it, and its worth
}

// ExplainValue gives what a figure of a wire by a cost formula is made of: the layers behind a FIFO value, the receipts and draws behind
// a moving average. Without a formula it is the books' method of the wire in that month; an opening is valued by that of the month
// before. Whoever may know what wire costs may ask.
func (s *Shop) ExplainValue(ctx context.Context, month costing.Period, wire material.WireCode, column string, formula costing.Formula) (out ExplainedValue, err error) {
	if _, err := allow(ctx, "valuing wire", Lead, Bookkeeper); err != nil {
		return out, err
	}
	if !slices.Contains(ValueColumns, column) {
		return out, wrong("column", "%q is not one of %s", column, strings.Join(ValueColumns, ", "))
	}
	if formula != "" && !slices.Contains(costing.Formulas(), formula) {
		return out, wrong("method", "%q is not one of specific, fifo, moving average", formula)
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		e, err := explained(r, month, wire, column)
		if err != nil {
			return err
		}
		choice, err := choiceOf(r)
		if err != nil {
			return err
		}
		out = ExplainedValue{Month: month, Wire: e.Wire, Column: column, Currency: e.Currency}
		at := month
		if column == "opening" {
			at--
		}
		out.Formula = cmp.Or(formula, choice(out.Wire, at))
		if before := choice(out.Wire, month-1); column == "revalued" && formula == "" && before != out.Formula {
			out.Before = before
		}
		if err := out.read(r); err != nil {
			return err
		}
		lines := make([]*ExplainedLine, len(out.Lines))
		for i := range out.Lines {
			lines[i] = &out.Lines[i].ExplainedLine
		}
		return people(r, lines)
	})
	return out, err
}

// read costs the wire's movements from the first on.
func (e *ExplainedValue) read(r Reader) error {
	ledger, last := costing.NewLedger(), e.Month.Last()
	whole := e.Column == "opening" || e.Column == "closing"
	if e.Column == "opening" {
		last = e.Month.First() - 1
	}
	began := false
	begin := func() { // what a change of method makes of the wire as it stood before the month
		if began = true; e.Before != "" {
			value := ledger.Value(e.Wire).Value
			e.Changed = value.Of(e.Formula) - value.Of(e.Before)
		}
	}
	err := r.LedgerOf(e.Wire, 0, last, func(l LedgerLine) error {
		if !began && l.EffectiveOn >= e.Month.First() {
			begin()
		}
		p, err := ledger.Post(costing.EntryOf(l.Movement, l.Wire, l.Lot))
		if err != nil {
			return err
		}
		line := ValuedLine{ExplainedLine: ExplainedLine{LedgerLine: l}, Mass: l.Mass, Cost: p.Costs.Of(e.Formula), Revalued: p.Revalued.Of(e.Formula)}
		if !whole && (!began || !e.counts(&line, p)) {
			return nil
		}
		v := ledger.Value(e.Wire)
		line.After = costing.Quantity{Mass: v.Mass, Cost: v.Value.Of(e.Formula)}
		if e.Formula == costing.FIFO && l.Kind != stock.Receipt {
			line.Parts = ledger.Parts(e.Wire, l.ID)
		}
		e.Total.Mass += line.Mass
		e.Total.Cost += line.Cost
		if whole {
			e.Total.Cost += line.Revalued
		}
		e.Lines = append(e.Lines, line)
		return nil
	})
	if !began {
		begin()
	}
	e.Total.Cost += e.Changed
	if whole && e.Formula == costing.FIFO {
		e.Layers = ledger.Layers(e.Wire)
	}
	return err
}

// counts says whether a movement of the month belongs to the column, and signs it as the column does.
func (e *ExplainedValue) counts(line *ValuedLine, p costing.Posted) bool {
	switch e.Column {
	case "revalued":
		line.Mass, line.Cost, line.Revalued = 0, line.Revalued, 0
		return line.Cost != 0
	case "late":
		return late(line.LedgerLine)
	case "drawn", "scrap":
		line.Mass, line.Cost = -line.Mass, -line.Cost
	}
	return string(p.Column) == e.Column
}
