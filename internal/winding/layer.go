package winding

import (
	"fmt"
	"math"

	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// Turns is one layer as wound.
type Turns struct {
	Lay           measure.Length        // advance of the wire per turn
	Touching      measure.Length        // the closest lay there is
	Open          bool                  // wound more open than touching
	Projected     measure.Length        // length of a turn seen along the string
	TurnLength    measure.Length        // wire in one turn
	WirePerM      float64               // metres of wire per metre of string
	DiameterAfter measure.Length        // over this layer, over the corners of the core
	WireMassPerM  measure.LinearDensity // of the wire itself
	MassPerM      measure.LinearDensity // what the layer adds to the string
}

// wind lays one wrap on a body whose perimeter equals that of a circle of diameter body.
//
// A taut wrap follows the convex hull of the body at half its own height, so a turn seen along the string measures
// S = π (body + h) for round and hexagonal cores alike (Steiner's formula for parallel curves). On the unrolled surface the
// wire runs at an angle; turns touch when lay × cos(angle) equals the width b, which gives the lay b/√(1 − (b/S)²) and
// exactly S/b wire per length. At any wider lay p the wire per length is √(S² + p²)/p, by Pythagoras.
func wind(l Layer, body measure.Length) (Turns, *material.FieldError) {
	width := float64(l.Form.Size.Metres())
	projected := math.Pi * (float64(body) + float64(l.Form.Height()))
	if width >= projected {
		return Turns{}, &material.FieldError{Field: "size_thou",
			Problem: fmt.Sprintf("is wider than one turn is long: a ribbon here must be narrower than %.3f thou", projected/25.4e-6)}
	}
	slope := width / projected
	touching := width / math.Sqrt(1-float64(slope*slope))
	lay, wirePerM, open := touching, projected/width, false
	if l.Lay != 0 {
		wider := float64(l.Lay.Metres())
		switch {
		case wider > touching+halfNanometre:
			lay, wirePerM, open = wider, math.Sqrt(float64(projected*projected)+float64(wider*wider))/wider, true
		case wider < touching-halfNanometre:
			return Turns{}, &material.FieldError{Field: "lay_thou",
				Problem: fmt.Sprintf("is closer than touching turns: at least %.3f thou, or missing for touching", roundUpThou(touching))}
		}
	}
	wire := WirePerLength(l.Density, l.Form)
	return Turns{
		Lay:          measure.Length(lay),
		Touching:     measure.Length(touching),
		Open:         open,
		Projected:    measure.Length(projected),
		TurnLength:   measure.Length(lay * wirePerM),
		WirePerM:     wirePerM,
		WireMassPerM: wire,
		MassPerM:     measure.LinearDensity(float64(wire) * wirePerM),
	}, nil
}

// halfNanometre: a lay is kept in whole nanometres, so that touching, written down and read back, is still touching.
const halfNanometre = 0.5e-9

// roundUpThou gives a length in thousandths of an inch, rounded up to three decimals so that the printed lay can be wound.
func roundUpThou(l float64) float64 { return math.Ceil(l/25.4e-6*1000) / 1000 }

func layerField(i int, field string) string { return fmt.Sprintf("layers[%d].%s", i, field) }
