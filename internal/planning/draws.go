package planning

import (
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
)

// stretch is a time in which a wire stays in its place on a machine: the batches that draw on it one after another.
type stretch struct {
	machine int
	wire    int
	first   int // spool that is there from before the day, or none
	loads   []load
}

// draws chooses the spools: for each batch of each lane its draws, by wire as loaded, then as used. It gives a wire of which
// not all strings found any, or none.
func (d *draft) draws(care bool) (draws [][][]batch.Draw, short int) {
	short = none
	byWire := make([][]cut, len(d.wires))
	var shared served
	if care {
		shared = d.served()
	}
	stretches := make([][]stretch, len(d.wires))
	for m := range d.lanes {
		for _, st := range d.stretches(m) {
			stretches[st.wire] = append(stretches[st.wire], st)
		}
	}
	for w := range d.wires {
		cuts, ok := d.unwind(w, stretches[w], shared)
		if !ok {
			if cuts, ok = d.wires[w].fill(d.loads(w)); !ok {
				short = w
			}
			cuts = arrange(stretches[w], cuts)
		}
		byWire[w] = cuts
	}
	return d.gather(byWire), short
}

// stretches follows the places of a machine through its day.
func (d *draft) stretches(machine int) []stretch {
	var list []stretch
	var open [1 + catalog.MaxWraps]int // stretch at each place: the core, then the layers
	for p, place := range d.places(machine) {
		open[p] = none
		if place.wire != none {
			open[p] = len(list)
			list = append(list, stretch{machine: machine, wire: place.wire, first: place.spool})
		}
	}
	for at, r := range d.lanes[machine].runs {
		g := &d.groups[r.group]
		if r.stands != nil {
			list = d.standing(machine, list, &open, &r)
			continue
		}
		wants := [1 + catalog.MaxWraps]int{g.fitting.core}
		copy(wants[1:], g.fitting.wraps[:])
		for _, u := range g.uses {
			p := slices.Index(wants[:], u.wire)
			if p < 0 {
				continue
			}
			st := open[p]
			if st == none || list[st].wire != u.wire {
				st = len(list)
				list = append(list, stretch{machine: machine, wire: u.wire, first: none})
			}
			for q, w := range wants {
				if w == u.wire {
					open[q] = st
				}
			}
			list[st].loads = append(list[st].loads, load{machine, at, u.each, r.toWind})
		}
	}
	return slices.DeleteFunc(list, func(s stretch) bool { return len(s.loads) == 0 })
}

// standing notes what a batch with spools of its own leaves on the machine: a stretch may begin with that.
func (d *draft) standing(machine int, list []stretch, open *[1 + catalog.MaxWraps]int, r *run) []stretch {
	f := &d.groups[r.group].fitting
	for p, wire := range [1 + catalog.MaxWraps]int{f.core, f.wraps[0], f.wraps[1], f.wraps[2]} {
		if wire == none {
			continue
		}
		last := none
		for _, dr := range r.stands.Draws {
			if dr.Wire == d.wires[wire].code {
				last = slices.IndexFunc(d.wires[wire].spools, func(s spool) bool { return s.code == dr.Spool })
			}
		}
		open[p] = len(list)
		list = append(list, stretch{machine: machine, wire: wire, first: last})
	}
	return list
}

// place is a wire and the index of its spool; none where the spool cannot be drawn on or is not known.
type place struct{ wire, spool int }

func (d *draft) places(machine int) [1 + catalog.MaxWraps]place {
	on := d.machines[machine].Loaded
	at := func(wire int, p Place) place {
		if wire == none {
			return place{none, none}
		}
		i := slices.IndexFunc(d.wires[wire].spools, func(s spool) bool { return s.code == p.Spool })
		return place{wire, i}
	}
	start := &d.starts[machine]
	places := [1 + catalog.MaxWraps]place{at(start.core, on.Core)}
	for i, w := range start.wraps {
		places[1+i] = at(w, on.Wraps[i])
	}
	return places
}

// gather sorts the cuts of all wires to their batches.
func (d *draft) gather(byWire [][]cut) [][][]batch.Draw {
	all := make([][][]batch.Draw, len(d.lanes))
	own := make([][][][]cut, len(d.lanes)) // by machine, position, use
	for m := range d.lanes {
		runs := d.lanes[m].runs
		all[m], own[m] = make([][]batch.Draw, len(runs)), make([][][]cut, len(runs))
		for at, r := range runs {
			own[m][at] = make([][]cut, len(d.groups[r.group].uses))
		}
	}
	for w, cuts := range byWire {
		for _, c := range cuts {
			uses := d.groups[d.lanes[c.machine].runs[c.at].group].uses
			i := slices.IndexFunc(uses, func(u use) bool { return u.wire == w })
			own[c.machine][c.at][i] = append(own[c.machine][c.at][i], c)
		}
	}
	for m := range d.lanes {
		for at, r := range d.lanes[m].runs {
			if r.stands != nil {
				all[m][at] = r.stands.Draws
				continue
			}
			for i, u := range d.groups[r.group].uses {
				for _, c := range own[m][at][i] {
					w := &d.wires[u.wire]
					all[m][at] = append(all[m][at], batch.Draw{
						Spool: w.spools[c.spool].code, Wire: w.code, Strings: c.strings, Mass: u.each.Times(int64(c.strings)),
					})
				}
			}
		}
	}
	return all
}
