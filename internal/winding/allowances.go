package winding

import (
	"fmt"

	"windingroom/internal/measure"
)

// Allowances is the wire a string takes beyond its speaking length.
type Allowances struct {
	BallEnd       measure.Size // core used for the loop and lock twist at the ball end
	Tail          measure.Size // core, or plain wire, beyond the speaking length at the tuner end
	Head          measure.Size // between ball end and the start of the speaking length
	ChuckWaste    measure.Size // core cut off after winding
	WrapBeyondNut measure.Size // wrapped length beyond the speaking length at the tuner end
	WasteTurns    float64      // turns lost at start and finish of each layer
}

// DefaultAllowances gives what a shop starts with. Common practice, no source; a shop sets its own.
func DefaultAllowances() Allowances {
	return Allowances{
		BallEnd:       45 * measure.Millimetre,
		Tail:          140 * measure.Millimetre,
		Head:          20 * measure.Millimetre,
		ChuckWaste:    25 * measure.Millimetre,
		WrapBeyondNut: 30 * measure.Millimetre,
		WasteTurns:    6,
	}
}

// Limits of what is taken for an allowance; beyond them a unit was mistaken.
const (
	longestAllowance = 10_000 * measure.Millimetre
	mostWasteTurns   = 100_000
)

// Check lists the allowances that cannot be right, under the names of the shop's settings.
func (a Allowances) Check() error {
	var p Problems
	for _, l := range []struct {
		setting string
		size    measure.Size
	}{
		{"ball_end_allowance_mm", a.BallEnd}, {"tail_mm", a.Tail}, {"head_mm", a.Head},
		{"chuck_waste_mm", a.ChuckWaste}, {"wrap_beyond_nut_mm", a.WrapBeyondNut},
	} {
		if l.size < 0 || l.size > longestAllowance {
			p.add(l.setting, fmt.Sprintf("must be from 0 to %s mm", longestAllowance.MillimetreText()))
		}
	}
	if !(a.WasteTurns >= 0 && a.WasteTurns <= mostWasteTurns) {
		p.add("wrap_waste_turns", fmt.Sprintf("must be from 0 to %d", mostWasteTurns))
	}
	if len(p) > 0 {
		return p
	}
	return nil
}

// woundBeyondScale is the wrapped length that is not speaking length.
func (a Allowances) woundBeyondScale() measure.Size { return a.Head + a.WrapBeyondNut }

// coreBeyondScale is the core that is cut off or hidden beyond the speaking length.
func (a Allowances) coreBeyondScale(ballEnd bool) measure.Size {
	rest := a.Head + a.Tail + a.ChuckWaste
	if ballEnd {
		rest += a.BallEnd
	}
	return rest
}
