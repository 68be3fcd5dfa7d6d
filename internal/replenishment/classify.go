package replenishment

// Class is the pattern of a demand: how often it comes and how much its size varies.
type Class string

// The classes of Syntetos, Boylan and Croston, J. Oper. Res. Soc. 56 (2005), read in an abstract.
const (
	NoDemand     Class = "none"
	Smooth       Class = "smooth"       // often, alike
	Erratic      Class = "erratic"      // often, of varying size
	Intermittent Class = "intermittent" // seldom, alike
	Lumpy        Class = "lumpy"        // seldom, of varying size
)

// The cut-offs of the same paper, read in programs that cite it. Which side a value on the line belongs to is not
// standard: here it is the less regular one.
const (
	cutADI = 1.32
	cutCV2 = 0.49
)

// Pattern describes a series of periods.
type Pattern struct {
	Periods int     // n
	Demands int     // k, the periods with demand
	ADI     float64 // mean interval between demands in periods, the first counted from before the first period; 0 without demand
	CV2     float64 // squared coefficient of variation of the demands that are not zero, variance with k-1; 0 for fewer than two
	Size    float64 // mean of the demands that are not zero
}

// PatternOf describes a series of demands per period, none below zero.
func PatternOf(series []float64) Pattern {
	p := Pattern{Periods: len(series)}
	last, sum := 0, 0.0
	for i, x := range series {
		if x > 0 {
			p.Demands++
			last, sum = i+1, sum+x
		}
	}
	if p.Demands == 0 {
		return p
	}
	k := float64(p.Demands)
	p.ADI, p.Size = float64(last)/k, sum/k
	if p.Demands > 1 {
		squares := 0.0
		for _, x := range series {
			if x > 0 {
				squares += (x - p.Size) * (x - p.Size)
			}
		}
		p.CV2 = squares / (k - 1) / (p.Size * p.Size)
	}
	return p
}

// Seldom says whether demand is intermittent or lumpy. The mean interval does not see the periods since the last demand, so that periods per
// demand (n/k) count where they are more: a wire that was used once, long ago, is not smooth.
func (p Pattern) Seldom() bool {
	return p.ADI >= cutADI || float64(p.Periods) >= cutADI*float64(p.Demands)
}

// Class gives the class of the pattern.
func (p Pattern) Class() Class {
	switch {
	case p.Demands == 0:
		return NoDemand
	case !p.Seldom() && p.CV2 < cutCV2:
		return Smooth
	case !p.Seldom():
		return Erratic
	case p.CV2 < cutCV2:
		return Intermittent
	}
	return Lumpy
}
