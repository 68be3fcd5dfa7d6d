package winding

import "windingroom/internal/measure"

// MaxWires is how many wires one string can take: a core and its wraps.
const MaxWires = 1 + MaxLayers

// Kernel is what is left of a string when only its mass is asked: for the core and each wrap a straight line in the scale
// length.
type Kernel struct {
	core   line
	layers [MaxLayers]line
	wraps  int
}

// line is the mass of one wire of one string: kg = fixed + perM × scale in metres.
type line struct{ fixed, perM float64 }

// Compile reduces a string and the allowances to its kernel.
func Compile(s String, a Allowances) Kernel {
	k := Kernel{
		core:  line{fixed: float64(s.CorePerM) * float64(a.coreBeyondScale(s.BallEnd).Metres()), perM: float64(s.CorePerM)},
		wraps: len(s.Turns),
	}
	beyond := float64(a.woundBeyondScale().Metres())
	for i, t := range s.Turns {
		waste := a.WasteTurns * float64(t.TurnLength) * float64(t.WireMassPerM)
		k.layers[i] = line{fixed: float64(float64(t.MassPerM)*beyond) + float64(waste), perM: float64(t.MassPerM)}
	}
	return k
}

// Wires gives how many wires the string takes: its core and its wraps.
func (k Kernel) Wires() int { return 1 + k.wraps }

// Each gives the mass of the i-th wire (0 is the core, then the wraps innermost first) that one string of a scale takes.
func (k Kernel) Each(i int, scale measure.Size) measure.MassEach {
	_, each := k.wire(i).at(scale)
	return each
}

func (k Kernel) wire(i int) line {
	if i == 0 {
		return k.core
	}
	return k.layers[i-1]
}

// at is the one place where the mass of a wire in a string is computed.
func (l line) at(scale measure.Size) (kg float64, each measure.MassEach) {
	kg = l.fixed + float64(l.perM*float64(scale.Metres()))
	return kg, measure.MassEachFromKilograms(kg)
}
