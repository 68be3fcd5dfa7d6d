package money

import (
	"math"
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Expected values worked out by hand.
func TestSplitLargestRemainder(t *testing.T) {
	tests := []struct {
		name    string
		total   Minor
		weights []int64
		want    []Minor
	}{
		{"a tie goes to the earlier", 1000, []int64{1, 1, 1}, []Minor{334, 333, 333}},
		{"two units left, two equal remainders first", 11, []int64{1, 1, 1}, []Minor{4, 4, 3}},
		{"the largest remainder, wherever it stands", 10, []int64{14, 28, 58}, []Minor{1, 3, 6}}, // 1.4 2.8 5.8
		{"by net mass", 12_345, []int64{453_592, 907_184}, []Minor{4_115, 8_230}},
		{"a weight of zero takes nothing", 100, []int64{0, 3, 0, 3}, []Minor{0, 50, 0, 50}},
		{"nor does one below zero", 100, []int64{-5, 1}, []Minor{0, 100}},
		{"no weight at all: all alike", 5, []int64{0, 0}, []Minor{3, 2}},
		{"below zero as its opposite", -1000, []int64{1, 1, 1}, []Minor{-334, -333, -333}},
		{"nothing", 0, []int64{2, 3}, []Minor{0, 0}},
		{"over nobody", 7, nil, nil},
		{"weights whose sum is beyond int64", 3, []int64{math.MaxInt64, math.MaxInt64, math.MaxInt64}, []Minor{1, 1, 1}},
		{"the least integer", math.MinInt64, []int64{1}, []Minor{math.MinInt64}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := SplitLargestRemainder(tt.total, tt.weights); !slices.Equal(got, tt.want) {
				t.Errorf("got %v, want %v", got, tt.want)
			}
		})
	}
}

func TestSplitSumsToTheCent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		total := Minor(rapid.Int64Range(-maxMinor, maxMinor).Draw(t, "total"))
		weights := rapid.SliceOfN(rapid.Int64Range(0, 1_000_000_000_000), 1, 40).Draw(t, "weights")
		whole := new(big.Int)
		for _, w := range weights {
			whole.Add(whole, big.NewInt(w))
		}
		var sum Minor
		for i, part := range SplitLargestRemainder(total, weights) {
			sum += part
			if whole.Sign() == 0 {
				continue
			}
			exact := new(big.Rat).SetFrac(new(big.Int).Mul(big.NewInt(int64(total)), big.NewInt(weights[i])), whole)
			if off := exact.Sub(exact, new(big.Rat).SetInt64(int64(part))); off.Abs(off).Cmp(big.NewRat(1, 1)) >= 0 {
				t.Errorf("part %d is %d, a unit or more from its share", i, part)
			}
			if weights[i] == 0 && part != 0 {
				t.Errorf("part %d weighs nothing and takes %d", i, part)
			}
		}
		if sum != total {
			t.Errorf("parts sum to %d, want %d", sum, total)
		}
	})
}

// More weight never takes less: the method keeps the order of the weights.
func TestSplitKeepsTheOrderOfWeights(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		total := Minor(rapid.Int64Range(0, 1_000).Draw(t, "total"))
		weights := rapid.SliceOfN(rapid.Int64Range(0, 50), 2, 12).Draw(t, "weights")
		parts := SplitLargestRemainder(total, weights)
		for i := range parts {
			for j := range parts {
				if weights[i] > weights[j] && parts[i] < parts[j] {
					t.Errorf("weights %v gave %v", weights, parts)
				}
			}
		}
	})
}
