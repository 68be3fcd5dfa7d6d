package catalog

import (
	"time"

	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Practice is how this shop works: what it adds to a string's length, what a changeover takes, how sure a batch must be.
// The defaults are common practice, no source; a shop sets its own.
type Practice struct {
	BallEndAllowance measure.Size // core used for loop and lock twist at the ball end
	Tail             measure.Size // core beyond the speaking length at the tuner end
	Head             measure.Size // between ball end and the start of the speaking length
	ChuckWaste       measure.Size // core cut off after winding
	WrapBeyondNut    measure.Size // wrapped length beyond the speaking length
	WrapWasteTurns   float64      // turns lost at start and finish of each layer

	ChangeCore   time.Duration
	ChangeWrap   time.Duration // per layer
	ChangeLength time.Duration
	ChangeSpool  time.Duration

	CompletionConfidence float64 // probability that a batch with its overage yields the ordered strings
	Currency             money.Currency
}

// DefaultPractice gives the settings a new shop starts with.
func DefaultPractice() Practice {
	return Practice{
		BallEndAllowance: 45 * measure.Millimetre,
		Tail:             140 * measure.Millimetre,
		Head:             20 * measure.Millimetre,
		ChuckWaste:       25 * measure.Millimetre,
		WrapBeyondNut:    30 * measure.Millimetre,
		WrapWasteTurns:   6,

		ChangeCore:   6 * time.Minute,
		ChangeWrap:   4 * time.Minute,
		ChangeLength: 2 * time.Minute,
		ChangeSpool:  90 * time.Second,

		CompletionConfidence: 0.95,
		Currency:             "USD",
	}
}

// WoundLength gives head + scale + wrapped length beyond the nut.
func (p Practice) WoundLength(scale measure.Size) measure.Size {
	return p.Head + scale + p.WrapBeyondNut
}

// CoreCut gives the length to which the core (or plain wire) is cut, chuck waste included.
func (p Practice) CoreCut(scale measure.Size, ballEnd bool) measure.Size {
	cut := p.Head + scale + p.Tail + p.ChuckWaste
	if ballEnd {
		cut += p.BallEndAllowance
	}
	return cut
}
