package winding

import (
	"math"

	"windingroom/internal/measure"
)

// Finished is what one finished string weighs as computed, without its ball end, in milligrams.
type Finished struct {
	Core  float64 // as it leaves the chuck: the cut less the chuck waste
	Wraps float64 // over the wound length; the waste turns are gone
}

// Finished gives the computed mass of a finished string of a scale length.
func (s String) Finished(scale measure.Size, a Allowances) Finished {
	const mgPerKg = 1e6
	core := a.CoreCut(scale, s.BallEnd) - a.ChuckWaste
	f := Finished{Core: float64(s.CorePerM) * float64(core.Metres()) * mgPerKg}
	for _, t := range s.Turns {
		f.Wraps += float64(t.MassPerM) * float64(a.WoundLength(scale).Metres()) * mgPerKg
	}
	return f
}

// FinishedWeighing is a number of finished strings of one recipe weighed together.
type FinishedWeighing struct {
	Strings    int
	Mass       measure.Mass // of all
	Cores      measure.Mass // of as many bare cores, weighed; zero: as computed
	Ends       measure.Mass // of as many ball ends; zero where none were on them
	Resolution measure.Mass
	Vouched    bool
}

// Weighing turns finished strings into a weighing of their wraps; of plain strings, into one of the wire itself. Where the cores were not
// weighed they count as computed, and the tolerance of their diameter is part of the uncertainty.
func (w FinishedWeighing) Weighing(s String, f Finished) Weighing {
	n := float64(w.Strings)
	out := Weighing{Measured: w.Mass - w.Ends, Computed: float64(n * f.Wraps), Resolution: w.Resolution, Readings: 2, Vouched: w.Vouched}
	if w.Ends > 0 {
		out.Readings += 2
	}
	switch {
	case len(s.Turns) == 0:
		out.Computed = n * f.Core
	case w.Cores > 0:
		out.Measured -= w.Cores
		out.Readings += 2
	default:
		cores := n * f.Core
		out.Measured -= measure.Mass(math.Round(cores))
		d := s.Core.OverCorners()
		out.Systematic = cores * 2 * float64(tolerance(d)) / float64(d) / math.Sqrt(3) // rectangular; GUM, JCGM 100:2008, 4.3.7, from memory
	}
	return out
}

// tolerance gives by how much the diameter of music wire may differ from its nominal (ASTM A228, table of diameter tolerances, read in a
// copy).
func tolerance(d measure.Length) measure.Length {
	const inch = 0.0254
	for _, t := range []struct{ upTo, by float64 }{{.010, .0002}, {.028, .0003}, {.063, .0004}, {.080, .0005}} {
		if float64(d) <= t.upTo*inch*(1+1e-9) {
			return measure.Length(t.by * inch)
		}
	}
	return measure.Length(.001 * inch)
}

// Measured is a number of strings whose gauge was measured.
type Measured struct {
	Strings int
	Mean    float64 // nm
	SD      float64 // of one string; zero for a single one
	Step    measure.Size
}

// Gauge pools measured gauges: their mean and its standard uncertainty in nanometres, from their spread (type A) and the step of the
// micrometer (type B, step/√12), combined as the root of the sum of squares (GUM, JCGM 100:2008, 4.2 and 4.3.7, from memory). Nothing
// measured gives zeros.
func Gauge(list []Measured) (mean, uncertainty float64, strings int) {
	var sum, step float64
	for _, m := range list {
		strings += m.Strings
		sum += float64(m.Mean * float64(m.Strings))
		step = math.Max(step, float64(m.Step))
	}
	if strings == 0 {
		return 0, 0, 0
	}
	n := float64(strings)
	mean = sum / n
	var squares float64
	for _, m := range list {
		off := m.Mean - mean
		squares += float64(float64(m.Strings-1)*float64(m.SD*m.SD)) + float64(float64(m.Strings)*float64(off*off))
	}
	variance := float64(step * step / 12)
	if strings > 1 {
		variance += squares / (n - 1) / n
	}
	return mean, math.Sqrt(variance), strings
}
