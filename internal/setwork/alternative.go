package setwork

import (
	"cmp"
	"math"
	"slices"

	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/stringdesign"
)

// Alternative is a candidate at a position of a set.
type Alternative struct {
	*Candidate
	Tension measure.Force
	Off     float64  // tension less the wanted one, as a share of it
	Share   *float64 // breaking share; nil where the strength of the core is unknown
	Held    bool     // its wire is there

	calibrated      *measure.Force // by finished strings that were weighed; nil where none was
	calibratedShare *float64       // breaking share at that

	ballEnd bool
	uses    []Use
	cost    float64 // of the wire of one good string, minor units, unrounded; NaN where unknown
}

// load judges the string by its breaking share; one of unknown strength passes.
func (a *Alternative) load(r *Room) stringdesign.Load {
	if a.Share == nil {
		return stringdesign.Fine
	}
	return r.load(*a.Share)
}

// at puts a candidate at a position.
func (r *Room) at(p position, c *Candidate) *Alternative {
	a := &Alternative{Candidate: c, Tension: p.tension(c), ballEnd: c.BallEnd}
	a.Off = float64(a.Tension/p.wanted) - 1
	if c.Recipe == "" && p.present != nil {
		a.ballEnd = p.present.BallEnd
	}
	if c.minimum > 0 {
		share := stringdesign.BreakingShare(stringdesign.CoreStress(a.Tension, c.string.Core.Area()), c.minimum)
		a.Share = &share
	}
	a.weigh(p)
	a.uses = c.uses(p.scale, a.ballEnd, r.practice.Allowances)
	a.Held = r.shelf.holds(a.uses)
	a.cost = r.shelf.cost(a.uses) / c.Yield
	return a
}

// near gives the alternatives of a pool whose tension lies within a tolerance of the wanted one, nearest first, and the
// nearest of those beyond it. heldOnly leaves out those whose wire is not there.
func (p pool) near(at position, tolerance float64, heldOnly bool) (within []*Alternative, beyond *Alternative) {
	type near struct {
		*Candidate
		off float64
	}
	var in, out []near
	for _, c := range p.list {
		off := math.Abs(float64(at.tension(c)/at.wanted) - 1)
		if off <= tolerance {
			in = append(in, near{c, off})
		} else {
			out = append(out, near{c, off})
		}
	}
	for _, n := range in {
		if a := p.room.at(at, n.Candidate); a.Held || !heldOnly {
			within = append(within, a)
		}
	}
	slices.SortStableFunc(within, nearer)
	slices.SortStableFunc(out, func(a, b near) int { return cmp.Compare(a.off, b.off) })
	for _, n := range out {
		if a := p.room.at(at, n.Candidate); a.Held || !heldOnly {
			return within, a
		}
	}
	return within, nil
}

// nearer puts the nearer tension first; of equals a recipe, then one that is held, then the cheaper one, then by code.
func nearer(a, b *Alternative) int {
	return cmp.Or(
		cmp.Compare(math.Abs(a.Off), math.Abs(b.Off)),
		first(a.Recipe != "", b.Recipe != ""), first(a.Held, b.Held), cmp.Compare(a.cost, b.cost),
		cmp.Compare(a.Recipe, b.Recipe), cmp.Compare(a.core.Code, b.core.Code),
		slices.CompareFunc(a.layers, b.layers, func(x, y layer) int { return cmp.Compare(x.wire.Code, y.wire.Code) }),
	)
}

// first puts the one for which it is true first.
func first(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// wraps lists the wraps of a candidate as a recipe names them.
func (c *Candidate) wraps() []catalog.Wrap {
	all := make([]catalog.Wrap, len(c.layers))
	for i, l := range c.layers {
		all[i] = catalog.Wrap{Wire: l.wire.Code, Lay: l.lay}
	}
	return all
}
