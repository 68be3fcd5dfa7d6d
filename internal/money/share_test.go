package money

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// shareByRationals is Share in the arithmetic of math/big, cut to an int64.
func shareByRationals(cost Minor, part, whole int64) Minor {
	if whole == 0 {
		return 0
	}
	r := new(big.Rat).SetFrac(new(big.Int).Mul(big.NewInt(int64(cost)), big.NewInt(part)), big.NewInt(whole))
	half := big.NewRat(1, 2)
	if r.Sign() < 0 {
		half.Neg(half)
	}
	r.Add(r, half)
	q := new(big.Int).Quo(r.Num(), r.Denom())
	if !q.IsInt64() || q.Int64() == math.MinInt64 {
		return Minor(q.Sign()) * math.MaxInt64
	}
	return Minor(q.Int64())
}

func TestShareIsExact(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		any := func(label string) int64 {
			return rapid.OneOf(rapid.Int64(), rapid.Int64Range(-1000, 1000), rapid.SampledFrom([]int64{math.MinInt64, math.MaxInt64})).Draw(r, label)
		}
		cost, part, whole := Minor(any("cost")), any("part"), any("whole")
		if got, want := Share(cost, part, whole), shareByRationals(cost, part, whole); got != want {
			r.Fatalf("Share(%d, %d, %d) = %d, want %d", cost, part, whole, got, want)
		}
	})
}

// BenchmarkShare beside the same in rationals.
func BenchmarkShare(b *testing.B) {
	for name, share := range map[string]func(Minor, int64, int64) Minor{"words": Share, "rationals": shareByRationals} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				share(12_345, 445_592, 453_592)
			}
		})
	}
}
