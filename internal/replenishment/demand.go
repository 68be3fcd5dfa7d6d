package replenishment

import (
	"math"
	"slices"
)

// Method names the rule behind an answer.
type Method string

// The rules, from no history to much (tier.go).
const (
	OwnMinimum     Method = "own minimum"       // nothing was used yet
	OccurrenceSize Method = "occurrence × size" // thin history, helped by the wire's family
	Gamma          Method = "gamma"
	GammaOrBlocks  Method = "gamma, blocks" // gamma that was compared with the record's own blocks of weeks
	Normal         Method = "normal"        // smooth demand only
)

// Demand is what a rule expects of a wire's use.
type Demand struct {
	Method     Method
	Pattern    Pattern
	Weekly     float64    // expected in a week
	Variance   float64    // of a week's use
	Weeks      float64    // of history behind them, for the error of the estimate
	Undershoot Undershoot // by which lines overshoot the order point
	Floor      float64    // the order point is never below it
	Blocks     []float64  // the series, where it is long enough to be compared with
}

// Total gives the use of so many weeks that is not exceeded with a probability, the weeks themselves spread by leadSD. The error of the
// estimate and the spread of the lead time widen it. For more than one half it is never less than the expected use.
func (d Demand) Total(p, weeks, leadSD float64) float64 {
	return d.quantile(p, weeks, leadSD, Undershoot{})
}

// OrderPoint gives the stock at which a purchase must be placed when it takes so many weeks to be usable.
func (d Demand) OrderPoint(p, weeks, leadSD float64) float64 {
	if weeks <= 0 {
		return 0
	}
	s := math.Max(d.quantile(p, weeks, leadSD, d.Undershoot), d.Floor)
	if blocks, ok := d.blocks(p, weeks); ok && d.Pattern.Class() == Lumpy && differ(s, blocks) {
		return math.Max(s, blocks)
	}
	return s
}

func (d Demand) quantile(p, weeks, leadSD float64, u Undershoot) float64 {
	if weeks <= 0 || d.Weekly <= 0 {
		return 0
	}
	m := d.Weekly * weeks
	v := TotalVariance(d.Variance, weeks, d.Weeks) + d.Weekly*d.Weekly*leadSD*leadSD
	if d.Method == Normal {
		return math.Max(m+Student(p, d.Weeks-1)*math.Sqrt(v), 0)
	}
	q := GammaQuantile(p, m+u.Mean, v+u.Variance)
	if p > .5 { // for days in which most likely nothing is used the quantile is next to nothing
		return math.Max(q, m)
	}
	return q
}

// blocks gives the same quantile from the record alone: the totals of all runs of that many weeks (Porras and Dekker, Eur. J.
// Oper. Res. 184, 2008, a passage read in a copy), undershoot added. It needs 19 runs end to end: the largest of m covers m/(m+1) on average.
func (d Demand) blocks(p, weeks float64) (quantile float64, ok bool) {
	length := int(math.Ceil(weeks))
	if length < 1 || len(d.Blocks) < 19*length {
		return 0, false
	}
	totals := make([]float64, 0, len(d.Blocks)-length+1)
	sum := 0.0
	for i, x := range d.Blocks {
		sum += x
		if i >= length {
			sum -= d.Blocks[i-length]
		}
		if i >= length-1 {
			totals = append(totals, sum)
		}
	}
	slices.Sort(totals)
	at := int(math.Ceil(p*float64(len(totals)))) - 1
	return totals[min(max(at, 0), len(totals)-1)]*weeks/float64(length) + d.Undershoot.Mean, true
}

// differ says whether two order points are more than a quarter apart.
func differ(a, b float64) bool { return math.Abs(a-b) > math.Max(a, b)/4 }
