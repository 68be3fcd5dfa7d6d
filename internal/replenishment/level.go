package replenishment

// smoothing is the weight of the newest size and interval: 0.1, in the range .05 to .2 of the literature (from memory).
const smoothing = 0.1

// Smoothed is what Croston's method knows after a series: the smoothed size of a demand and the smoothed interval between demands
// in periods. Without demand both are zero.
type Smoothed struct {
	Size, Interval float64
	beta           float64 // weight of the newest interval
}

// Croston smooths size and interval at demands only, from the first demand and its interval counted from before the first
// period (Croston, Oper. Res. Quart. 23, 1972, from memory; definitions as in Hyndman and Athanasopoulos, Forecasting:
// Principles and Practice, 2nd edition, section 12.2, read in a copy). The interval of the first demand weighs much in a short
// series; CrostonFromMean starts from the mean interval.
func Croston(series []float64, alpha, beta float64) Smoothed {
	return croston(series, alpha, beta, 0)
}

// CrostonFromMean is Croston's method started from the first size and the mean interval, which stands in for the first one.
func CrostonFromMean(series []float64, alpha, beta float64) Smoothed {
	return croston(series, alpha, beta, PatternOf(series).ADI)
}

// croston starts from the given interval, or from the first one where it is zero.
func croston(series []float64, alpha, beta, start float64) Smoothed {
	l := Smoothed{beta: beta}
	last, first := 0, true
	for i, x := range series {
		if x <= 0 {
			continue
		}
		interval := float64(i + 1 - last)
		last = i + 1
		switch {
		case !first:
			l.Size += alpha * (x - l.Size)
			l.Interval += beta * (interval - l.Interval)
		case start > 0:
			l.Size, l.Interval = x, start
		default:
			l.Size, l.Interval = x, interval
		}
		first = false
	}
	return l
}

// Rate gives Croston's forecast per period.
func (l Smoothed) Rate() float64 {
	if l.Interval == 0 {
		return 0
	}
	return l.Size / l.Interval
}

// SBA takes off the bias of Croston's forecast to first order (Syntetos and Boylan, Int. J. Forecasting 21, 2005, from memory).
func (l Smoothed) SBA() float64 { return l.Rate() * (1 - l.beta/2) }

// SBJ takes off the bias as Shale, Boylan and Johnston do (J. Oper. Res. Soc. 57, 2006, from memory).
func (l Smoothed) SBJ() float64 { return l.Rate() * (1 - l.beta/(2-l.beta)) }

// TSB smooths the chance of a demand in every period and its size at demands, so that it falls while nothing is used
// (Teunter, Syntetos and Babai, Eur. J. Oper. Res. 214, 2011, from memory). It starts from the first size and the share of periods with demand.
func TSB(series []float64, alpha, beta float64) (rate float64) {
	p := PatternOf(series)
	if p.Demands == 0 {
		return 0
	}
	chance, size, first := float64(p.Demands)/float64(p.Periods), 0.0, true
	for i, x := range series {
		came := 0.0
		if x > 0 {
			came = 1
			if first {
				size, first = x, false
			} else {
				size += alpha * (x - size)
			}
		}
		if i > 0 {
			chance += beta * (came - chance)
		}
	}
	return chance * size
}

// fading says whether a wire goes out of use: over at least half a year its TSB rate has fallen below a third of its plain
// mean (judgement; no published rule). At a weight of 0.1 that takes about ten weeks of nothing after steady use.
func fading(series []float64) bool {
	return len(series) >= 26 && TSB(series, smoothing, smoothing) < mean(series)/3
}
