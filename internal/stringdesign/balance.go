package stringdesign

import (
	"math"

	"windingroom/internal/measure"
)

// Balance says how evenly the strings of a set pull.
type Balance struct {
	Total   measure.Force
	Mean    measure.Force
	Lowest  measure.Force
	Highest measure.Force
	Spread  float64   // (highest − lowest) ÷ mean
	Jumps   []float64 // per neighbouring pair, second ÷ first − 1: 0.2 means that the second pulls 20 % more
}

// BalanceOf sums up a set from the tensions of its strings in order of position. No strings give a zero Balance.
func BalanceOf(tensions []measure.Force) Balance {
	if len(tensions) == 0 {
		return Balance{}
	}
	b := Balance{Lowest: tensions[0], Highest: tensions[0]}
	for i, t := range tensions {
		b.Total += t
		b.Lowest, b.Highest = min(b.Lowest, t), max(b.Highest, t)
		if i > 0 {
			b.Jumps = append(b.Jumps, float64(t/tensions[i-1])-1)
		}
	}
	b.Mean = b.Total / measure.Force(len(tensions))
	b.Spread = float64((b.Highest - b.Lowest) / b.Mean)
	return b
}

// LargestJump gives the index of the first string of the neighbouring pair that differs most, and its jump; false with
// fewer than two strings.
func (b Balance) LargestJump() (first int, jump float64, ok bool) {
	for i, j := range b.Jumps {
		if !ok || math.Abs(j) > math.Abs(jump) {
			first, jump, ok = i, j, true
		}
	}
	return first, jump, ok
}
