package replenishment

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// GammaQuantile gives the quantile of the gamma distribution with a mean and a variance: shape μ²/v, scale v/μ (Burgin, Oper. Res.
// Quart. 26, 1975, cited in what was read). A demand is never below zero and skewed to the right, as this is and the normal is not. Without
// variance it is the mean, without mean zero.
func GammaQuantile(p, mean, variance float64) float64 {
	switch {
	case mean <= 0:
		return 0
	case variance <= mean*mean*1e-9:
		return mean
	}
	return distuv.Gamma{Alpha: mean * mean / variance, Beta: mean / variance}.Quantile(p)
}

// GammaShortage gives the expected shortage beyond a stock: αθ·S(α+1, R) − R·S(α, R), S the survival function.
func GammaShortage(stock, mean, variance float64) float64 {
	shape, rate := mean*mean/variance, mean/variance
	return mean*distuv.Gamma{Alpha: shape + 1, Beta: rate}.Survival(stock) - stock*distuv.Gamma{Alpha: shape, Beta: rate}.Survival(stock)
}

// TotalVariance gives the variance of the demand of so many periods, as far as n periods of history know it: their own variance and the
// error of the estimated mean, s²(L + L²/n), the textbook prediction interval.
func TotalVariance(perPeriod, periods, n float64) float64 {
	return perPeriod * (periods + periods*periods/n)
}

// Undershoot is by how much a stock stands below its order point when that is noticed, because lines take more than one unit.
type Undershoot struct{ Mean, Variance float64 }

// UndershootOf gives it for lines of any mass: E[X²]/(2E[X]), second moment E[X³]/(3E[X]) (renewal theory, from memory).
func UndershootOf(lines []float64) Undershoot {
	var one, two, three float64
	for _, x := range lines {
		one, two, three = one+x, two+x*x, three+x*x*x
	}
	if one <= 0 {
		return Undershoot{}
	}
	m := two / (2 * one)
	return Undershoot{m, math.Max(three/(3*one)-m*m, 0)}
}

// CountUndershoot gives the distribution of it for lines of whole units, sizes[k] the chance of a line of k: P(U=k) = P(X>k)/E[X].
func CountUndershoot(sizes []float64) []float64 {
	mean, above := 0.0, 0.0
	for k, f := range sizes {
		mean += float64(k) * f
		above += f
	}
	chances := make([]float64, len(sizes))
	for k, f := range sizes {
		above -= f
		chances[k] = above / mean
	}
	return chances
}
