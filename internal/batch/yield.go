package batch

import (
	"errors"
	"fmt"
	"math"
)

// Results is how strings of a recipe came off the machine.
type Results struct{ Good, Scrapped int }

// Strings gives how many were wound.
func (r Results) Strings() int { return r.Good + r.Scrapped }

// AsIf gives the results as they would have been of a recipe with another stated yield, had it done as well beside what was
// stated of it: a recipe of which half was expected to be scrapped, and was, speaks neither for nor against a sibling of which
// one in twenty is. Scrap is scaled by the scrap that was to be expected; where none was, what was scrapped counts as it is.
func (r Results) AsIf(stated, other float64) Results {
	scrapped := r.Scrapped
	if stated < 1 {
		scrapped = min(r.Strings(), int(math.Round(float64(r.Scrapped)*((1-other)/(1-stated)))))
	}
	return Results{Good: r.Strings() - scrapped, Scrapped: scrapped}
}

// Yield is what is believed of a recipe's share of good strings.
type Yield struct {
	Mean    float64 // expected share of good strings
	SD      float64 // standard deviation of that belief
	Strings int     // of the recipe's own that it was learned from
}

// ErrYield says that a yield or results make no sense.
var ErrYield = errors.New("a yield above 0 and at most 1 and counts of zero or more are wanted")

// yieldStrength is how many strings the stated yield counts for, and what a family knows counts for in one of its recipes.
// Judgement, no source: a day's bad batch moves the yield and does not rule it, and ten good strings in a row do not make a
// recipe that never fails.
const yieldStrength = 20

// LearnYield estimates a recipe's yield from its own results, those of the other recipes of its family, and the yield it was
// stated to have. The stated yield is the mean of a beta prior worth yieldStrength strings. The family's results move that
// mean, which then counts for as many strings beside the recipe's own results: a recipe without history has its family's
// yield. Strings are good independently, so the posterior is a beta distribution and coming strings are beta-binomial (Gelman et
// al., Bayesian Data Analysis, sections 2.4 and 5.1, from memory). Without any result the mean is the stated yield, bit for bit.
// It refuses with ErrYield.
func LearnYield(stated float64, own, family Results) (Yield, error) {
	if !(stated > 0 && stated <= 1) || min(own.Good, own.Scrapped, family.Good, family.Scrapped) < 0 {
		return Yield{}, fmt.Errorf("yield %v, results %+v, of the family %+v: %w", stated, own, family, ErrYield)
	}
	mean := posterior(posterior(stated, family), own)
	strength := float64(yieldStrength + own.Strings())
	return Yield{
		Mean: mean, Strings: own.Strings(),
		SD: math.Sqrt(mean * (1 - mean) / (strength + 1)),
	}, nil
}

// posterior gives the mean of a beta distribution worth yieldStrength strings after more strings were seen.
func posterior(mean float64, seen Results) float64 {
	n := seen.Strings()
	if n == 0 {
		return mean
	}
	return (float64(yieldStrength*mean) + float64(seen.Good)) / float64(yieldStrength+n)
}
