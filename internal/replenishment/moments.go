package replenishment

// mean gives the plain mean, zero for nothing.
func mean(xs []float64) float64 {
	if len(xs) == 0 {
		return 0
	}
	sum := 0.0
	for _, x := range xs {
		sum += x
	}
	return sum / float64(len(xs))
}

// variance gives the sample variance (n-1), zero for fewer than two.
func variance(xs []float64) float64 {
	if len(xs) < 2 {
		return 0
	}
	m, squares := mean(xs), 0.0
	for _, x := range xs {
		squares += (x - m) * (x - m)
	}
	return squares / float64(len(xs)-1)
}
