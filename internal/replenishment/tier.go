package replenishment

// Which rule at which history. n is the weeks of history, k those with demand. The thresholds are judgement, taken from trials on
// simulated demand (trials_test.go); no published rule for them was found.
//
//	k = 0                          the shop's own minimum, else one batch of the largest set that uses the wire
//	n < 13 or k < 4                chance of a demand × its size, both helped by the wire's family
//	smooth and n >= 26             normal, with Student's quantile
//	n >= 76 and k >= 20            gamma, compared with the record's own blocks of weeks
//	otherwise                      gamma; its mean is SBA where the interval is long and the wire still in use, else the plain mean
const (
	thinWeeks, thinDemands = 13, 4
	longWeeks, longDemands = 76, 20
	normalWeeks            = 26
)

// Weights of what is believed before there is a record, in demands: untuned choices.
const (
	priorChance  = 0.5 // of half a demand in one more week
	priorSize    = 1   // of the family's mean size
	priorScatter = 4   // of the scatter below
	familyCV2    = 0.5
)

// DemandOf applies the rule. Family is the mean demand of a week with demand in the wire's family, scaled to the wire; zero where
// unknown. Minimum is what to keep of a wire that was never used.
func DemandOf(h History, family, minimum float64) Demand {
	p := PatternOf(h.Weeks)
	switch {
	case p.Demands == 0:
		return Demand{Method: OwnMinimum, Pattern: p, Floor: minimum}
	case p.Periods < thinWeeks || p.Demands < thinDemands:
		return thin(p, family, h.Largest)
	}
	d := Demand{Method: Gamma, Pattern: p, Weekly: mean(h.Weeks), Variance: variance(h.Weeks), Weeks: float64(p.Periods)}
	if p.Class() == Smooth && p.Periods >= normalWeeks {
		d.Method = Normal
		return d
	}
	if p.ADI >= cutADI && !fading(h.Weeks) { // SBA does not forget, the plain mean does
		d.Weekly = CrostonFromMean(h.Weeks, smoothing, smoothing).SBA()
	}
	d.Undershoot = UndershootOf(h.Lines)
	if p.Periods >= longWeeks && p.Demands >= longDemands {
		d.Method, d.Blocks = GammaOrBlocks, h.Weeks
	}
	return d
}

// thin estimates the chance of a demand in a week and its size apart: the moments of a demand that comes or does not, of any size.
func thin(p Pattern, family, largest float64) Demand {
	n, k := float64(p.Periods), float64(p.Demands)
	chance := (k + priorChance) / (n + 1)
	size := p.Size
	if family > 0 {
		size = (k*p.Size + priorSize*family) / (k + priorSize)
	}
	scatter := ((k-1)*p.CV2 + priorScatter*familyCV2) / (k - 1 + priorScatter)
	return Demand{
		Method: OccurrenceSize, Pattern: p, Floor: largest, Weeks: n,
		Weekly: chance * size, Variance: chance * size * size * (1 + scatter - chance),
	}
}
