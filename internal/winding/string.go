package winding

import (
	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// String is a wound or plain string without its length: everything per length, per turn and across.
type String struct {
	Core     material.Form
	Gauge    measure.Length        // over the corners of the core and over all wraps
	CorePerM measure.LinearDensity // mass per length of the core
	Turns    []Turns               // one per layer, innermost first
	MassPerM measure.LinearDensity // of the whole string
	BallEnd  bool
}

// Design computes a string from its build. The error is Problems, listing every field at fault.
func Design(b Build) (String, error) {
	problems := b.check()
	if len(problems) > 0 {
		return String{}, problems
	}
	s := String{
		Core:     b.Core,
		Gauge:    b.Core.OverCorners(),
		CorePerM: WirePerLength(b.CoreDensity, b.Core),
		BallEnd:  b.BallEnd,
	}
	s.MassPerM = s.CorePerM
	var below measure.Length // sum of the heights of the layers so far
	for i, l := range b.Layers {
		body := b.Core.PerimeterDiameter() + measure.Length(float64(2*below))
		turns, problem := wind(l, body)
		below += l.Form.Height()
		if problem != nil {
			problems.add(layerField(i, problem.Field), problem.Problem)
			continue
		}
		turns.DiameterAfter = b.Core.OverCorners() + measure.Length(float64(2*below))
		s.Gauge = turns.DiameterAfter
		s.MassPerM += turns.MassPerM
		s.Turns = append(s.Turns, turns)
	}
	if len(problems) > 0 {
		return String{}, problems
	}
	return s, nil
}
