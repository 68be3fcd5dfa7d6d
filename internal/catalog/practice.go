package catalog

import (
	"time"

	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/winding"
)

// Practice is how this shop works: what it adds to a string's length, what a changeover takes, how sure a batch must be.
type Practice struct {
	winding.Allowances
	SetWork

	ChangeCore   time.Duration
	ChangeWrap   time.Duration // per layer
	ChangeLength time.Duration
	ChangeSpool  time.Duration

	ScaleResolution measure.Mass // smallest step of the scale that spools are weighed on
	LossOfDrawn     float64      // a weighing that misses more than this share of what was drawn
	LossOfReceived  float64      // and more than this share of what was received asks someone

	CompletionConfidence float64 // probability that a batch with its overage yields the ordered strings
	Currency             money.Currency

	Buying Buying `gorm:"embedded;embeddedPrefix:buying_"`
}

// DefaultPractice gives the settings a new shop starts with. Common practice, no source; a shop sets its own.
func DefaultPractice() Practice {
	return Practice{
		Allowances: winding.DefaultAllowances(),
		SetWork:    DefaultSetWork(),

		ChangeCore:   6 * time.Minute,
		ChangeWrap:   4 * time.Minute,
		ChangeLength: 2 * time.Minute,
		ChangeSpool:  90 * time.Second,

		ScaleResolution: 100 * measure.Milligram,
		LossOfDrawn:     0.05,
		LossOfReceived:  0.02,

		CompletionConfidence: 0.95,
		Currency:             "USD",

		Buying: DefaultBuying(),
	}
}
