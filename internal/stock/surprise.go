package stock

import (
	"fmt"

	"windingroom/internal/measure"
)

// Surprise is what makes a weighing hard to believe.
type Surprise string

// The surprises. The first two are posted once confirmed; the last two never are, because receipt or tare must be wrong.
const (
	NoSurprise   Surprise = ""
	WireAppears  Surprise = "wire appears"
	MuchGone     Surprise = "much is gone"
	OverReceived Surprise = "more than was received"
	BelowTare    Surprise = "below tare"
)

func (s Surprise) impossible() bool { return s == OverReceived || s == BelowTare }

// surprise finds what is hard to believe. A net weight below zero or above what was received is believed as that bound as
// long as it lies within its uncertainty.
func (w Weighing) surprise(v Verdict, limit LossLimit) Surprise {
	switch {
	case w.read() < -v.NetUncertainty:
		return BelowTare
	case w.read() > w.Balance.Net()+w.receiptUncertainty():
		return OverReceived
	case v.Noise:
		return NoSurprise
	case v.Difference > 0:
		return WireAppears
	case float64(-v.Difference) > w.tolerated(v, limit):
		return MuchGone
	}
	return NoSurprise
}

// tolerated gives the loss in milligrams that nobody is asked about.
func (w Weighing) tolerated(v Verdict, limit LossLimit) float64 {
	ofDrawn := float64(limit.OfDrawn*float64(w.drawn())) + float64(v.Uncertainty)
	return max(ofDrawn, limit.OfReceived*float64(w.Balance.Net()))
}

func (w Weighing) drawn() measure.Mass {
	var sum measure.Mass
	for _, d := range w.Drawn {
		sum += d.Mass
	}
	return sum
}

// why tells a person what was seen and what to do.
func (w Weighing) why(v Verdict) string {
	b := w.Balance
	if w.Confirmed && !v.Surprise.impossible() {
		return w.plainly(v)
	}
	switch v.Surprise {
	case BelowTare:
		return fmt.Sprintf("spool %s weighs %s, less than its empty spool of %s: take it off, look whether it is the right spool and its tare is right, and weigh again",
			b.Code, w.Gross, b.Tare)
	case OverReceived:
		return fmt.Sprintf("spool %s would hold %s of the %s received: take it off, look whether it is the right spool, weigh again, and look at its receipt and tare",
			b.Code, w.read(), b.Net())
	case WireAppears:
		return fmt.Sprintf("spool %s holds %s more than the books say, and scale, tare and draws leave only %s open: take it off, look whether it is the right spool and its tare of %s is right, and weigh again",
			b.Code, v.Difference, v.Uncertainty, b.Tare)
	case MuchGone:
		return fmt.Sprintf("spool %s holds %s less than the books say, with %s drawn since it was last weighed: take it off, look whether it is the right spool, weigh again, and ask who took wire",
			b.Code, -v.Difference, w.drawn())
	}
	return w.plainly(v)
}

// plainly tells of a weighing without a surprise, or of one that was confirmed.
func (w Weighing) plainly(v Verdict) string {
	off := fmt.Sprintf("%s less", -v.Difference)
	if v.Difference > 0 {
		off = fmt.Sprintf("%s more", v.Difference)
	}
	switch {
	case v.Difference == 0:
		return fmt.Sprintf("spool %s holds the %s that the books say", w.Balance.Code, v.Net)
	case v.Noise:
		return fmt.Sprintf("spool %s is %s off the books, within the %s that scale, tare and draws leave open: noise, charged to no batch",
			w.Balance.Code, abs(v.Difference), v.Uncertainty)
	case w.drawn() == 0:
		return fmt.Sprintf("spool %s holds %s than the books say and nothing drew on it since it was last weighed: charged to no batch",
			w.Balance.Code, off)
	}
	return fmt.Sprintf("spool %s holds %s than the books say: charged to the batches that drew on it since it was last weighed", w.Balance.Code, off)
}
