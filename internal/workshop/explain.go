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
	"windingroom/internal/stock"
)

// ExplainColumns are the columns of the roll-forward that can be explained. Late is the part of the difference that no weighing or count
// found: late cost of wire that was gone.
var ExplainColumns = []string{"opening", "received", "drawn", "scrap", "difference", "closing", "late"}

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
		if out, err = explained(r, month, wire, column); err != nil {
			return err
		}
		if err := out.read(r); err != nil {
			return err
		}
		lines := make([]*ExplainedLine, len(out.Lines))
		for i := range out.Lines {
			lines[i] = &out.Lines[i]
		}
		return people(r, lines)
	})
	return out, err
}

// explained begins the explanation of a figure of a wire of the shop.
func explained(r Reader, month costing.Period, wire material.WireCode, column string) (out Explained, err error) {
	wires, err := r.Wires()
	if err != nil {
		return out, err
	}
	i := slices.IndexFunc(wires, func(w material.Wire) bool { return strings.EqualFold(string(w.Code), string(wire)) })
	if i < 0 {
		return out, wrong("wire", "%q is no wire of the shop", wire)
	}
	practice, err := r.Practice()
	return Explained{Month: month, Wire: wires[i].Code, Column: column, Currency: practice.Currency}, err
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
		if !first.IsZero() && !e.counts(l) {
			return nil
		}
		e.Total.Mass += l.Mass * measure.Mass(sign)
		e.Total.Cost += l.Cost * money.Minor(sign)
		e.Lines = append(e.Lines, ExplainedLine{LedgerLine: l})
		return nil
	})
}

// counts says whether a movement of the month belongs to the column.
func (e *Explained) counts(l LedgerLine) bool {
	if e.Column == "late" {
		return late(l)
	}
	column, _ := costing.ColumnOf(l.Counts())
	return string(column) == e.Column
}

// late says whether a movement is late cost of wire that was gone.
func late(l LedgerLine) bool { return l.Kind == stock.CostUsed }

// people says which result each movement of a batch belongs to and who wound.
func people(r Reader, lines []*ExplainedLine) error {
	results := map[batch.Code]map[stock.MovementID]batch.Result{}
	for _, l := range lines {
		code := batch.Code(l.Movement.Batch())
		if code == "" {
			continue
		}
		if results[code] == nil {
			of, err := resultsByDraw(r, code)
			if err != nil {
				return err
			}
			results[code] = of
		}
		l.Batch = code
		for _, id := range []stock.MovementID{l.ID, l.Reverses} {
			if result, ok := results[code][id]; ok {
				l.Result, l.WoundBy = result.Number, result.Person
			}
		}
	}
	return nil
}

// resultsByDraw gives the results of a batch by the movements that they posted.
func resultsByDraw(r Reader, code batch.Code) (map[stock.MovementID]batch.Result, error) {
	results, err := r.Results(code)
	by := map[stock.MovementID]batch.Result{}
	for _, result := range results {
		for _, d := range result.Draws {
			by[d.Movement] = result
		}
	}
	return by, err
}
