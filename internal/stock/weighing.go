package stock

import (
	"errors"
	"fmt"

	"windingroom/internal/measure"
)

// Refusals of a weighing.
var (
	ErrUnconfirmed = errors.New("weigh it a second time (second), or let a lead or an owner confirm it (confirm)")
	ErrImpossible  = errors.New("this weighing cannot be right, whoever confirms it")
)

// Weighing is one reading of a spool on a scale beside what the books say of the spool at that moment.
type Weighing struct {
	Balance    Balance // on hand, received and tare as they stood when it was weighed
	Gross      measure.Mass
	Scale      Scale
	TareSpread measure.Mass // how far the tare may be off (SpoolType.Spread); zero where this very spool was weighed empty
	Drawn      []Drawn      // since the last weighing, or since the receipt
	Confirmed  bool         // by the owner, or by a second weighing that repeats the first
}

// LossLimit says how much wire may be missing before someone is asked: a loss greater than OfDrawn of what was drawn since
// the last weighing with the uncertainty on top, and greater than OfReceived of the net received.
type LossLimit struct{ OfDrawn, OfReceived float64 }

// DefaultLossLimit asks beyond 5 % of what was drawn and 2 % of what was received. Judgement, no source: a calibrated wrap
// lies within 3 % of its computation, and a forgotten string or two of a full spool is not worth a question.
func DefaultLossLimit() LossLimit { return LossLimit{OfDrawn: 0.05, OfReceived: 0.02} }

// Verdict is what a weighing means. Weighing is the truth: once posted, the spool holds Net, whether the difference is noise
// or not. Noise is shown as such, is charged to no batch, and is nothing to learn a wire factor from.
type Verdict struct {
	Net            measure.Mass // what the spool holds now: gross less tare, from zero to what was received
	Book           measure.Mass // what it held by the ledger
	Difference     measure.Mass // Net less Book
	Uncertainty    measure.Mass // of Difference, k = 2, with the spread of the tare
	NetUncertainty measure.Mass // of Net, k = 2, with the spread of the tare
	Noise          bool         // Difference lies within Uncertainty
	Surprise       Surprise
	Why            string       // for people: what was seen, what becomes of it, what to do
	Shares         []Share      // who bears Difference, to which they sum; none for a refused weighing
	Short          measure.Mass // allocated beyond Net: batches that must be given other wire first
}

// Judge says what a weighing means. The difference is real only beyond k·√(Σu²) and the spread of the tare. An error that
// wraps ErrUnconfirmed or ErrImpossible says that nothing is to be posted; the verdict is returned all the same, to be shown.
func Judge(w Weighing, limit LossLimit) (Verdict, error) {
	if err := w.check(); err != nil {
		return Verdict{}, err
	}
	v := w.compare()
	v.Surprise = w.surprise(v, limit)
	v.Noise = v.Noise && !v.Surprise.impossible() // of a weighing that cannot be right the difference says nothing
	v.Why = w.why(v)
	switch {
	case v.Surprise.impossible():
		return v, fmt.Errorf("%s: %w", v.Why, ErrImpossible)
	case v.Surprise != NoSurprise && !w.Confirmed:
		return v, fmt.Errorf("%s: %w", v.Why, ErrUnconfirmed)
	}
	v.Shares = w.shares(v)
	return v, nil
}

func (w Weighing) check() error {
	switch {
	case w.Scale.Resolution <= 0:
		return fmt.Errorf("resolution %s: %w", w.Scale.Resolution, ErrScale)
	case w.Gross < 0:
		return fmt.Errorf("gross %s: a mass of zero or more is wanted", w.Gross)
	case w.TareSpread < 0:
		return fmt.Errorf("tare spread %s: a mass of zero or more is wanted", w.TareSpread)
	}
	for _, d := range w.Drawn {
		if d.Mass < 0 {
			return fmt.Errorf("drawn by %s %s: a mass of zero or more is wanted", d.Source, d.Mass)
		}
	}
	return nil
}

// compare works out net and difference with their uncertainties.
func (w Weighing) compare() Verdict {
	v := Verdict{
		Net:            min(max(w.read(), 0), w.Balance.Net()),
		Book:           w.Balance.Mass,
		Uncertainty:    w.Scale.Net().And(BookUncertainty(w.Scale, w.Drawn)).Expanded() + w.TareSpread,
		NetUncertainty: w.Scale.Net().Expanded() + w.TareSpread,
	}
	v.Difference = v.Net - v.Book
	v.Noise = abs(v.Difference) <= v.Uncertainty
	v.Short = max(w.Balance.Allocated-v.Net, 0)
	return v
}

// read gives gross less tare as the scale has it, which may lie below zero or above what was received.
func (w Weighing) read() measure.Mass { return w.Gross - w.Balance.Tare }

// receiptUncertainty is that of a net weight beside the net weight at receipt.
func (w Weighing) receiptUncertainty() measure.Mass {
	return w.Scale.Net().And(w.Scale.Net()).Expanded() + w.TareSpread
}
