package workshop

import (
	"encoding/json"
	"fmt"
	"strconv"
	"time"

	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Frozen is what a month amounts to: its figures, and a hash over them, over every movement of the month and over what its strings cost.
type Frozen struct {
	Month   costing.Period
	Hash    string
	Figures string // JSON: see monthFigures
}

// monthFigures are what is kept of a closed month. Their form is part of the hash: a new one gets a new Version, and old months keep theirs.
type monthFigures struct {
	Version   int          `json:"version"`
	Month     string       `json:"month"`
	Lines     []figureLine `json:"wires"`
	Standards *standards   `json:"standards,omitempty"` // of what was wound; none in version 1
}

// figureLine is a wire's way through the month by the ledger's own costs, and its closing figure by the books' method.
type figureLine struct {
	Wire           material.WireCode `json:"wire"`
	Mass           [6]measure.Mass   `json:"mg"`         // opening, received, drawn, scrap, difference, closing in milligrams
	Cost           [6]money.Minor    `json:"cost_minor"` // the same in minor units
	Method         costing.Formula   `json:"method"`
	ClosingByBooks money.Minor       `json:"closing_by_method_minor"`
}

// Freeze replays the ledger up to the end of a month and gives what the month amounts to.
func Freeze(r Reader, month costing.Period) (Frozen, error) {
	all, err := Replay(r, month, month)
	if err != nil {
		return Frozen{}, err
	}
	return all[0], nil
}

// Replay reads the ledger once, from its first movement to the last day of to, and gives what each month from from on amounts to. A month
// that is closed is taken at the standards it was closed with, any other at the present ones.
func Replay(r Reader, from, to costing.Period) ([]Frozen, error) {
	reading, err := newReading(r, from, to)
	if err != nil {
		return nil, err
	}
	digests, used := make([]costing.Digest, to-from+1), make([]*standards, to-from+1)
	err = reading.months(r, func(l LedgerLine, posted costing.Posted) {
		digests[costing.PeriodOf(posted.On)-from].Row("movement", fieldsOf(l)...)
	}, func(month costing.Period, w *monthWork, std *standards) error {
		if !std.unkept {
			w.freeze(&digests[month-from])
			used[month-from] = std
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	ledger, books := reading.rolls()
	frozen := make([]Frozen, len(digests))
	for i := range frozen {
		figures := figuresOf(ledger[i], books[i])
		if figures.Standards = used[i]; used[i] == nil {
			figures.Version = 1
		}
		text, err := json.Marshal(figures)
		if err != nil {
			return nil, err
		}
		digests[i].Row("figures", string(text))
		frozen[i] = Frozen{Month: from + costing.Period(i), Hash: digests[i].Sum(), Figures: string(text)}
	}
	return frozen, nil
}

// fieldsOf gives everything that a movement says, as text that is the same on every database.
func fieldsOf(l LedgerLine) []string {
	number := func(v int64) string { return strconv.FormatInt(v, 10) }
	at := func(t time.Time) string { return t.UTC().Truncate(time.Microsecond).Format(time.RFC3339Nano) }
	return []string{number(int64(l.ID)), string(l.Spool), string(l.Wire), l.Lot, string(l.Kind), number(int64(l.Mass)), number(int64(l.Cost)),
		l.EffectiveOn.String(), at(l.EffectiveAt), at(l.PostedAt), l.Person, l.Reason, l.Source, l.Key, number(int64(l.Reverses))}
}

func figuresOf(ledger, books costing.Roll) monthFigures {
	out := monthFigures{Version: 2, Month: ledger.From.String(), Lines: []figureLine{}}
	by := map[material.WireCode]costing.RollLine{}
	for _, l := range books.Lines {
		by[l.Wire] = l
	}
	for _, l := range ledger.Lines {
		line := figureLine{Wire: l.Wire, Method: by[l.Wire].Formula, ClosingByBooks: by[l.Wire].Closing.Cost}
		for i, q := range columnsOf(l) {
			line.Mass[i], line.Cost[i] = q.Mass, q.Cost
		}
		out.Lines = append(out.Lines, line)
	}
	return out
}

// figuresKept reads the figures that a month was closed with.
func figuresKept(p Period) (kept monthFigures, err error) {
	if err = json.Unmarshal([]byte(p.Figures), &kept); err != nil {
		err = fmt.Errorf("figures of %s: %w", p.Month, err)
	}
	return kept, err
}

// columnsOf gives the columns of a roll-forward in their order, the closing last.
func columnsOf(l costing.RollLine) []costing.Quantity {
	return []costing.Quantity{l.Opening, l.Received, l.Drawn, l.Scrap, l.Difference, l.Closing}
}
