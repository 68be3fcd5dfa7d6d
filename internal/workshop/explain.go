package workshop

import (
	"context"
	"slices"
	"strings"

	"windingroom/internal/batch"

	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// ExplainColumns are the columns of the roll-forward that can be explained.
var ExplainColumns = []string{"opening", "received", "drawn", "scrap", "difference", "closing"}

// Explained is a figure of the roll-forward with everything it is made of.
type Explained struct {
	Month    costing.Period
	Wire     material.WireCode
	Column   string
	Currency money.Currency
	Total    costing.Quantity // as it stands in the roll-forward
	Lines    []ExplainedLine
}

// ExplainedLine is a movement behind a figure; for one that a batch made, also the result and who wound.
type ExplainedLine struct {
	LedgerLine
	Batch   batch.Code // empty where no batch made it
	Result  int
	WoundBy string
}

// Explain gives the movements behind a figure of the roll-forward: of one wire, month and column, such as drawn or closing; the opening
// and the closing are made of every movement up to then. Everyone in the shop may ask.
func (s *Shop) Explain(ctx context.Context, month costing.Period, wire material.WireCode, column string) (out Explained, err error) {
	if _, err := allow(ctx, "reading the books", Roles()...); err != nil {
		return out, err
	}
	if column = strings.TrimSuffix(strings.TrimSuffix(strings.ToLower(column), "_g"), "_cost"); !slices.Contains(ExplainColumns, column) {
		return out, wrong("column", "%q is not one of %s", column, strings.Join(ExplainColumns, ", "))
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		wires, err := r.Wires()
		if err != nil {
			return err
		}
		i := slices.IndexFunc(wires, func(w material.Wire) bool { return strings.EqualFold(string(w.Code), string(wire)) })
		if i < 0 {
			return wrong("wire", "%q is no wire of the shop", wire)
		}
		practice, err := r.Practice()
		if err != nil {
			return err
		}
		out = Explained{Month: month, Wire: wires[i].Code, Column: column, Currency: practice.Currency}
		if err := out.read(r); err != nil {
			return err
		}
		return out.people(r)
	})
	return out, err
}

// read gathers the movements. Drawn and scrap are shown above zero where wire was used, as in the roll-forward.
func (e *Explained) read(r Reader) error {
	first, last, sign := e.Month.First(), e.Month.Last(), int64(1)
	switch e.Column {
	case "opening":
		first, last = 0, first-1
	case "closing":
		first = 0
	case "drawn", "scrap":
		sign = -1
	}
	return r.LedgerOf(e.Wire, first, last, func(l LedgerLine) error {
		if column, _ := costing.ColumnOf(l.Counts()); !first.IsZero() && string(column) != e.Column {
			return nil
		}
		e.Total.Mass += l.Mass * measure.Mass(sign)
		e.Total.Cost += l.Cost * money.Minor(sign)
		e.Lines = append(e.Lines, ExplainedLine{LedgerLine: l})
		return nil
	})
}

// people says which result each movement of a batch belongs to and who wound.
func (e *Explained) people(r Reader) error {
	results := map[batch.Code][]batch.Result{}
	for i := range e.Lines {
		l := &e.Lines[i]
		code := batch.Code(l.Movement.Batch())
		if code == "" {
			continue
		}
		if results[code] == nil {
			of, err := r.Results(code)
			if err != nil {
				return err
			}
			results[code] = of
		}
		l.Batch = code
		for _, result := range results[code] {
			for _, d := range result.Draws {
				if d.Movement == l.ID || d.Movement == l.Reverses {
					l.Result, l.WoundBy = result.Number, result.Person
				}
			}
		}
	}
	return nil
}
