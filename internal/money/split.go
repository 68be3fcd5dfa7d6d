package money

import (
	"math/big"
	"slices"
)

// SplitLargestRemainder splits a total over weights so that the parts sum to it exactly: each part is its share rounded
// towards zero, and the units left over go to the largest remainders, a tie to the earlier (largest remainder method; Balinski
// and Young, Fair Representation, 1982, from memory). A weight of zero or less takes nothing, unless no weight is above
// zero: then all count alike. A negative total is split as its opposite. Without weights there are no parts.
//
// It serves a delivery's cost over its spools by net mass, and any other whole number of units, such as milligrams.
func SplitLargestRemainder[T ~int64](total T, weights []int64) []T {
	if len(weights) == 0 {
		return nil
	}
	shares, sum := positiveWeights(weights)
	units := new(big.Int).Abs(big.NewInt(int64(total)))
	parts := make([]*big.Int, len(shares))
	remainders := make([]*big.Int, len(shares))
	left := new(big.Int).Set(units)
	for i, w := range shares {
		parts[i], remainders[i] = new(big.Int).QuoRem(new(big.Int).Mul(units, big.NewInt(w)), sum, new(big.Int))
		left.Sub(left, parts[i])
	}
	one := big.NewInt(1)
	for _, i := range byRemainder(remainders)[:left.Int64()] {
		parts[i].Add(parts[i], one)
	}
	return signed[T](parts, total < 0)
}

// positiveWeights gives the weights with what is below zero as zero, or all alike where none is above it, and their sum.
func positiveWeights(weights []int64) (shares []int64, sum *big.Int) {
	shares, sum = slices.Clone(weights), new(big.Int)
	for i, w := range shares {
		shares[i] = max(w, 0)
		sum.Add(sum, big.NewInt(shares[i]))
	}
	if sum.Sign() > 0 {
		return shares, sum
	}
	for i := range shares {
		shares[i] = 1
	}
	return shares, sum.SetInt64(int64(len(shares)))
}

// byRemainder gives the places of the remainders, largest first, the earlier of equals first.
func byRemainder(remainders []*big.Int) []int {
	places := make([]int, len(remainders))
	for i := range places {
		places[i] = i
	}
	slices.SortStableFunc(places, func(a, b int) int { return remainders[b].Cmp(remainders[a]) })
	return places
}

func signed[T ~int64](parts []*big.Int, negative bool) []T {
	out := make([]T, len(parts))
	for i, p := range parts {
		if negative {
			p.Neg(p)
		}
		out[i] = T(p.Int64())
	}
	return out
}
