package planning

import (
	"errors"
	"fmt"
	"math"
)

// ErrOverage says that a yield or a confidence gives no sensible number of strings to wind.
var ErrOverage = errors.New("no number of strings to wind")

const (
	leastYield = 0.01 // below one good string in a hundred a recipe wants mending, not planning
	// reached is how near below the wanted confidence counts as reached: with yield and confidence both 0.95 one string is
	// enough for one, whatever the last binary digit of a sum says.
	reached = 1e-12
)

// Overage gives the smallest number of strings to wind so that at least ordered of them are good with the wanted
// confidence, each being good with probability yield: the smallest N with P(Binomial(N, yield) >= ordered) >= confidence.
//
// The N-th string or an earlier one is the ordered-th good one exactly if at most N - ordered fail before it, so the
// probability is the cumulative negative binomial sum of C(ordered+f-1, f) yield^ordered (1-yield)^f, whose terms follow from
// one another (standard probability, from memory). Terms too small for a float64 are carried as logarithms.
//
// It refuses ordered below 1, a yield outside 0.01 to 1 and a confidence outside 0 to 1 with ErrOverage. A confidence of 1
// can be had only from a yield of 1.
func Overage(ordered int, yield, confidence float64) (int, error) {
	switch {
	case ordered < 1:
		return 0, fmt.Errorf("ordered %d: one string or more is wanted: %w", ordered, ErrOverage)
	case !(yield >= leastYield && yield <= 1):
		return 0, fmt.Errorf("yield %v: a share from %v to 1 is wanted: %w", yield, leastYield, ErrOverage)
	case !(confidence > 0 && confidence <= 1) || (confidence == 1 && yield < 1):
		return 0, fmt.Errorf("completion_confidence %v: a probability above 0 and below 1 is wanted: %w", confidence, ErrOverage)
	}
	if yield == 1 {
		return ordered, nil
	}
	return ordered + failures(ordered, yield, confidence), nil
}

// failures gives the least f whose cumulative probability reaches the confidence.
func failures(ordered int, yield, confidence float64) int {
	const tiny = -600 // e^-600 is still a normal float64
	log := float64(ordered) * math.Log(yield)
	f := 0
	for ; log < tiny; f++ {
		log += math.Log(ratio(ordered, f, yield))
	}
	term := math.Exp(log)
	if f == 0 {
		term = math.Pow(yield, float64(ordered))
	}
	for sum := term; sum < confidence-reached; f++ {
		term *= ratio(ordered, f, yield)
		if sum+term == sum && float64(f)*yield > float64(ordered) {
			return f // past the mode and nothing is added any more: as near to 1 as a float64 comes
		}
		sum += term
	}
	return f
}

// ratio gives the probability of f+1 failures over that of f.
func ratio(ordered, f int, yield float64) float64 {
	return float64(ordered+f) / float64(f+1) * (1 - yield)
}
