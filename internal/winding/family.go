package winding

import "math"

// Family is what recipes of one kind have shown: the mean of their factors and how much recipes differ among themselves.
type Family struct{ Mean, Spread float64 }

// UnknownFamily is what is believed before anything was weighed: the computation is right to about 1.5 %. Judgement, from
// the 2.8 % of wrap that lie between a taut wrap and one that clears the corners of a hexagon.
func UnknownFamily() Family { return Family{Mean: 1, Spread: 0.015} }

// Shrink weighs a recipe's own factor against its family's, each by its precision (the mean of a normal posterior; Gelman
// et al., Bayesian Data Analysis, section 2.5, from memory). A recipe never weighed has its family's factor; an own factor
// without error stands as it is.
func (f Factor) Shrink(family Family) Factor {
	own, prior := float64(f.StdError*f.StdError), float64(family.Spread*family.Spread)
	switch {
	case f.Weighings == 0:
		return Factor{Value: family.Mean, StdError: family.Spread}
	case own == 0:
		return f
	}
	weight := prior / (own + prior)
	return Factor{
		Value:     family.Mean + float64(weight*(f.Value-family.Mean)),
		StdError:  math.Sqrt(weight * own),
		Weighings: f.Weighings,
	}
}

// FamilyOf estimates a family from its recipes' own factors: their mean weighed by precision, and the spread between them
// beyond what their errors explain (DerSimonian and Laird, Controlled Clinical Trials 7, 1986, from memory), but at least
// a tenth of the unknown family's. Fewer than two weighed recipes say nothing of a family.
func FamilyOf(factors []Factor) Family {
	return UnknownFamily().learn(factors, UnknownFamily().Spread/10)
}

// learn estimates a family of which unknown was believed before; its spread is taken for no less than least.
func (unknown Family) learn(factors []Factor, least float64) Family {
	var n, sumW, sumW2, sumWV float64
	for _, f := range factors {
		if f.Weighings == 0 || f.StdError <= 0 {
			continue
		}
		w := 1 / (f.StdError * f.StdError)
		n, sumW, sumW2, sumWV = n+1, sumW+w, sumW2+float64(w*w), sumWV+float64(w*f.Value)
	}
	if n < 2 {
		return unknown
	}
	mean := sumWV / sumW
	var q float64
	for _, f := range factors {
		if f.Weighings > 0 && f.StdError > 0 {
			z := (f.Value - mean) / f.StdError
			q += float64(z * z)
		}
	}
	between := (q - (n - 1)) / (sumW - sumW2/sumW)
	return Family{Mean: mean, Spread: math.Max(least, math.Sqrt(math.Max(0, between)))}
}
