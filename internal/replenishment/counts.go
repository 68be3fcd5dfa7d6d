package replenishment

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// Distributions of demand in whole units. The nightly rule weighs wire and does not use them; they are the yardstick its gamma
// is checked with.

// PoissonCDF gives the chance of at most k at a mean.
func PoissonCDF(k int, mean float64) float64 { return distuv.Poisson{Lambda: mean}.CDF(float64(k)) }

// NegativeBinomialCDF gives the chance of at most k at a mean and a variance greater than it: r = μ²/(v−μ), p = μ/v.
func NegativeBinomialCDF(k int, mean, variance float64) float64 {
	return mathext.RegIncBeta(mean*mean/(variance-mean), float64(k+1), mean/variance)
}

// CompoundPoisson gives the chances of the totals 0 to most when lines arrive at a rate and sizes[k] is the chance that one takes k, by
// Panjer's recursion: g₀ = e^(−λ), g_s = (λ/s) Σ k·f_k·g_(s−k) (Panjer, ASTIN Bulletin 12, 1981, from memory). No line takes nothing.
func CompoundPoisson(rate float64, sizes []float64, most int) []float64 {
	g := make([]float64, most+1)
	g[0] = math.Exp(-rate)
	for s := 1; s <= most; s++ {
		for k := 1; k < len(sizes) && k <= s; k++ {
			g[s] += float64(k) * sizes[k] * g[s-k]
		}
		g[s] *= rate / float64(s)
	}
	return g
}

// CountQuantile gives the least count that covers a share of the chances, or ok false where they do not reach it.
func CountQuantile(p float64, chances []float64) (count int, ok bool) {
	sum := 0.0
	for k, g := range chances {
		if sum += g; sum >= p {
			return k, true
		}
	}
	return 0, false
}
