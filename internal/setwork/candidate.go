package setwork

import (
	"math"
	"time"

	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/winding"
)

// Candidate is one way in which the shop can make a string: by a recipe, or made up from wires.
type Candidate struct {
	Recipe      catalog.RecipeCode // empty where it is made up
	Nominal     measure.Size       // the gauge it goes by: the recipe's, or the computed one to the half thousandth
	BallEnd     bool
	Yield       float64
	MinutesEach time.Duration

	core    *stocked
	layers  []layer // innermost first; none for a plain string
	string  winding.String
	minimum measure.Stress // least tensile strength of the core; 0 where unknown
	factor  float64        // measured over computed mass of the wraps

	gauge *winding.LearnedGauge // the calibrated one; nil where the shop's measurements say nothing of it
	mass  *winding.LearnedMass  // per length, calibrated; nil where no finished string of it was weighed
}

// layer is a wrap of a candidate; a lay of zero winds turn against turn.
type layer struct {
	wire *stocked
	lay  measure.Size
}

// halfThou is the step in which gauges go (common practice).
const halfThou = measure.Thou / 2

func newCandidate(core *stocked, layers []layer, ballEnd bool) (*Candidate, error) {
	b := winding.Build{Core: core.Form, CoreDensity: core.alloy.Density, BallEnd: ballEnd}
	for _, l := range layers {
		b.Layers = append(b.Layers, winding.Layer{Form: l.wire.Form, Density: l.wire.alloy.Density, Lay: l.lay})
	}
	s, err := winding.Design(b)
	if err != nil {
		return nil, err
	}
	c := &Candidate{BallEnd: ballEnd, core: core, layers: layers, string: s, factor: 1}
	c.Nominal = measure.Size(math.Round(s.Gauge.Thou()*2)) * halfThou
	c.minimum, _ = core.alloy.MinimumTensile(core.Form)
	return c, nil
}

// Plain says whether the string has no wrap.
func (c *Candidate) Plain() bool { return len(c.layers) == 0 }

// gaugeThou gives the computed gauge, free of what binary fractions add behind the ninth decimal.
func (c *Candidate) gaugeThou() float64 { return math.Round(c.string.Gauge.Thou()*1e9) / 1e9 }

// outer gives the wire on the outside: the last wrap, or the plain wire.
func (c *Candidate) outer() *stocked {
	if n := len(c.layers); n > 0 {
		return c.layers[n-1].wire
	}
	return c.core
}

// sameWinding says whether two strings feel alike under the finger: both plain, or as many layers with the same section
// outside.
func (c *Candidate) sameWinding(other *Candidate) bool {
	return len(c.layers) == len(other.layers) && (c.Plain() || c.outer().Form.Section == other.outer().Form.Section)
}

// sameWires says whether two candidates are the same string.
func (c *Candidate) sameWires(core *stocked, layers []layer) bool {
	if c.core != core || len(c.layers) != len(layers) {
		return false
	}
	for i, l := range layers {
		if c.layers[i] != l {
			return false
		}
	}
	return true
}

// Use is the wire that one string takes of one of the room's wires.
type Use struct {
	wire int
	Each measure.MassEach
}

// uses gives what one string takes at a scale length: distinct wires, a wire in two places added up.
func (c *Candidate) uses(scale measure.Size, ballEnd bool, a winding.Allowances) []Use {
	s := c.string
	s.BallEnd = ballEnd
	kernel := winding.Compile(s, a)
	uses := make([]Use, 1, kernel.Wires())
	uses[0] = Use{c.core.at, kernel.Each(0, scale)}
next:
	for i, l := range c.layers {
		each := measure.MassEach(math.Round(float64(kernel.Each(1+i, scale)) * c.factor))
		for j := range uses {
			if uses[j].wire == l.wire.at {
				uses[j].Each += each
				continue next
			}
		}
		uses = append(uses, Use{l.wire.at, each})
	}
	return uses
}
