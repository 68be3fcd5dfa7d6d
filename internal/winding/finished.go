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
