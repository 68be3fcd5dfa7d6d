package setwork

import (
	"windingroom/internal/material"
	"windingroom/internal/stringdesign"
)

// pool is the candidates among which a question is answered. Each is there once; a string that a recipe makes stands
// there as the recipe.
type pool struct {
	room *Room
	list []*Candidate
}

// wound gathers the strings whose outermost wrap is of an alloy: every recipe, and what can be made up from wires within the
// shop's limits: each core with each wrap of the alloy, and, where stacks are wanted, what recipes carry under their last
// wrap with each wrap of the alloy over it, a round one no thinner than the wrap it covers. What is made up is wound turn
// against turn. heldOnly makes up only from wires of which something is free.
func (r *Room) wound(alloy material.AlloyCode, stacks, heldOnly bool) pool {
	p := pool{room: r}
	for _, c := range r.recipes {
		if !c.Plain() && c.outer().alloy.Code == alloy {
			p.list = append(p.list, c)
		}
	}
	usable := func(w *stocked) bool { return !heldOnly || r.shelf.any(w.at) }
	var wraps []*stocked
	for i := range r.wires {
		if w := &r.wires[i]; w.alloy.Wrap && w.alloy.Code == alloy && w.Form.Section != material.Hex && usable(w) {
			wraps = append(wraps, w)
		}
	}
	for i := range r.wires {
		core := &r.wires[i]
		if !core.alloy.Core || core.Form.Section == material.Flat || !usable(core) {
			continue
		}
		for _, w := range wraps {
			p.add(core, []layer{{wire: w}})
		}
	}
	if stacks {
		for _, inside := range r.insides(usable) {
			under := inside.layers[len(inside.layers)-1].wire
			for _, w := range wraps {
				if w.Form.Section == material.Round && w.Form.Height() < under.Form.Height() {
					continue // common practice, no source: a round wrap is no thinner than what it covers
				}
				p.add(inside.core, append(inside.layers[:len(inside.layers):len(inside.layers)], layer{wire: w}))
			}
		}
	}
	return p
}

// inside is what a recipe carries under its last wrap.
type inside struct {
	core   *stocked
	layers []layer
}

func (r *Room) insides(usable func(*stocked) bool) []inside {
	var all []inside
next:
	for _, c := range r.recipes {
		n := len(c.layers) - 1
		if n < 1 || !usable(c.core) {
			continue
		}
		for _, l := range c.layers[:n] {
			if !usable(l.wire) {
				continue next
			}
		}
		under := make([]layer, n) // turn against turn, as everything that is made up from wires
		for i := range under {
			under[i].wire = c.layers[i].wire
		}
		for _, known := range all {
			if (&Candidate{core: known.core, layers: known.layers}).sameWires(c.core, under) {
				continue next
			}
		}
		all = append(all, inside{c.core, under})
	}
	return all
}

// plain gathers the plain strings of an alloy: every recipe, and every round wire without one. An empty alloy takes all that
// are marked as cores.
func (r *Room) plain(alloy material.AlloyCode, heldOnly bool) pool {
	p := pool{room: r}
	wanted := func(w *stocked) bool { return alloy == "" && w.alloy.Core || w.alloy.Code == alloy }
	for _, c := range r.recipes {
		if c.Plain() && wanted(c.core) {
			p.list = append(p.list, c)
		}
	}
	for i := range r.wires {
		w := &r.wires[i]
		if wanted(w) && w.alloy.Core && w.Form.Section == material.Round && (!heldOnly || r.shelf.any(i)) {
			p.add(w, nil)
		}
	}
	return p
}

// add makes a string up from wires, unless it is there already, the geometry refuses it or the shop's limits do.
func (p *pool) add(core *stocked, layers []layer) {
	for _, c := range p.list {
		if c.Recipe != "" && c.sameWires(core, layers) {
			return
		}
	}
	if !p.room.windable(core, layers) {
		return
	}
	c, err := newCandidate(core, layers, true)
	if err != nil || !p.room.withinLimits(c) {
		return
	}
	p.room.adopt(c)
	p.list = append(p.list, c)
}

// slight keeps a string that lies on a limit inside it.
const slight = 1e-9

// windable says whether no wrap is too thick for the core.
func (r *Room) windable(core *stocked, layers []layer) bool {
	most := r.practice.MostWrap * float64(core.Form.Size.Metres()) * (1 + slight)
	for _, l := range layers {
		if float64(l.wire.Form.Height()) > most {
			return false
		}
	}
	return true
}

// withinLimits says whether the core of a wound string is neither too thin nor too thick for the gauge.
func (r *Room) withinLimits(c *Candidate) bool {
	if c.Plain() {
		return true
	}
	share := float64(c.core.Form.Size.Metres() / c.string.Gauge)
	return share >= r.practice.LeastCore-slight && share <= r.practice.MostCore+slight
}

// adopt gives a string that was made up the gauge that the shop's measurements of its kind give it, and the yield and the minutes of the recipe nearest to it: as many layers of the same
// alloy outside, else as many layers; by gauge. Without one it has no scrap and takes no time.
func (r *Room) adopt(c *Candidate) {
	var nearest *Candidate
	var least float64
	for _, other := range r.recipes {
		if len(other.layers) != len(c.layers) {
			continue
		}
		apart := float64(other.string.Gauge - c.string.Gauge)
		apart *= apart
		if other.outer().alloy.Code != c.outer().alloy.Code {
			apart++ // metres: farther than any gauge
		}
		if nearest == nil || apart < least {
			nearest, least = other, apart
		}
	}
	c.calibrate(r.gauges, nil)
	c.Yield = 1
	if nearest != nil {
		c.Yield, c.MinutesEach = nearest.Yield, nearest.MinutesEach
	}
}

// load judges how much of its core's least strength a string bears, by the shop's limits.
func (r *Room) load(share float64) stringdesign.Load {
	switch {
	case share <= r.practice.CautionShare:
		return stringdesign.Fine
	case share <= r.practice.RefuseShare:
		return stringdesign.Caution
	}
	return stringdesign.Refused
}
