package planning

import (
	"math"
	"slices"

	"windingroom/internal/measure"
)

// bound gives a setup without changes of spool that no sequence of the day's batches on these machines can undercut.
//
// Proof. Setup is a sum over five attributes (core, three layers, length) and changes of spool. Split the attributes into a
// part A and the rest; each part's share is bounded by itself and the shares are added.
//
// For A: call batches of the same core, wraps and length, as far as they lie in A, a class. Any plan is a path per machine
// from what is loaded at first. Draw an edge from each batch to the next on its machine, and from a root to each first batch.
// Every batch is joined to the root, so when the batches of a class are merged the edges connect all classes and the root, and
// no spanning tree of them costs more. An edge is weighed with no more than the plan pays for it: between two batches what
// differs whatever was loaded before (nothing for a layer that the first one leaves alone), and
// from the root the least setup of the class on any machine that takes it, since the first batch finds the start state
// unchanged. So the least spanning tree over all pairs (Prim) costs no more than the plan pays in A.
//
// For an attribute outside A: each distinct value that is not loaded in its place on any machine has to be put there once.
//
// For spools (spoolBound): a batch takes whole strings from drawable spools, so it needs at least as many spools of a wire as the largest
// of them, taken first, are needed; all but one are further spools inside the batch.
//
// All 32 splits are tried and the best is taken.
func (d *draft) bound() int64 {
	var fittings []target
	for m := range d.lanes {
		for _, r := range d.lanes[m].runs {
			want := d.target(r.group)
			want.winding = d.winding(&r)
			if !want.takes[m] { // it stands on a machine that is down
				want.takes = slices.Clone(want.takes)
				want.takes[m] = true
			}
			fittings = append(fittings, want)
		}
	}
	return max(d.splits(fittings), d.boundMixed(fittings))
}

// splits bounds the setup of some of the day's batches by the best split, and by a tree that minds how many machines they need.
func (d *draft) splits(all []target) int64 {
	var best int64
	for mask := range 1 << attributes {
		best = max(best, d.split(mask, all))
	}
	return max(best, d.rooted(all, d.needed(all, best)))
}

// attributes are the core, the layers and the length.
const attributes = 5

// target is what a class wants, by attribute (none where it wants nothing), and its least setup as a first batch, also by
// attribute, on each machine that takes it.
type target struct {
	wants   [attributes]int64
	takes   []bool
	winding int64 // of all batches
}

func (d *draft) target(group int) target {
	g := &d.groups[group]
	return target{wants: attributesOf(&g.fitting), takes: g.takes}
}

func attributesOf(f *fitting) [attributes]int64 {
	return [attributes]int64{int64(f.core), int64(f.wraps[0]), int64(f.wraps[1]), int64(f.wraps[2]), f.scale}
}

func (r rates) of(attribute int) int64 {
	switch attribute {
	case 0:
		return r.core
	case attributes - 1:
		return r.length
	}
	return r.wrap
}

// split bounds the setup with the attributes of the mask by a spanning tree and the others by counting.
func (d *draft) split(mask int, all []target) int64 {
	starts := d.startStates()
	var sum int64
	for a := range attributes {
		if mask&(1<<a) == 0 {
			sum += d.rates.of(a) * distinct(a, all, starts)
		}
	}
	if mask == 0 {
		return sum
	}
	return sum + d.tree(mask, classes(mask, all), starts, 0)
}

// distinct counts the values of an attribute that no machine has loaded.
func distinct(a int, all []target, starts [][attributes]int64) int64 {
	values := make([]int64, 0, len(all))
	for _, r := range all {
		if v := r.wants[a]; v != none {
			values = append(values, v)
		}
	}
	slices.Sort(values)
	values = slices.Compact(values)
	n := int64(0)
	for _, v := range values {
		if !slices.ContainsFunc(starts, func(s [attributes]int64) bool { return s[a] == v }) {
			n++
		}
	}
	return n
}

// classes merges what is the same in the attributes of the mask; a class may go where one of its batches may.
func classes(mask int, all []target) []target {
	index := make(map[[attributes]int64]int, len(all))
	var list []target
	for _, r := range all {
		for a := range attributes {
			if mask&(1<<a) == 0 {
				r.wants[a] = none
			}
		}
		i, ok := index[r.wants]
		if !ok {
			index[r.wants] = len(list)
			list = append(list, target{wants: r.wants, takes: slices.Clone(r.takes)})
			continue
		}
		for m, takes := range r.takes {
			list[i].takes[m] = list[i].takes[m] || takes
		}
	}
	return list
}

// tree gives the cost of a least spanning tree over the classes and the root, whose edges cost so much less.
func (d *draft) tree(mask int, list []target, starts [][attributes]int64, less int64) int64 {
	weight := func(from, to *[attributes]int64, root bool) int64 {
		var cost int64
		for a := range attributes {
			if mask&(1<<a) != 0 && to[a] != none && from[a] != to[a] && (root || from[a] != none) {
				cost += d.rates.of(a)
			}
		}
		return cost
	}
	nearest := make([]int64, len(list))
	for i := range list {
		nearest[i] = math.MaxInt64
		for m := range starts {
			if list[i].takes[m] {
				nearest[i] = min(nearest[i], weight(&starts[m], &list[i].wants, true)-less)
			}
		}
	}
	var sum int64
	left := make([]int, len(list))
	for i := range left {
		left[i] = i
	}
	for len(left) > 0 {
		best := 0
		for i := range left {
			if nearest[left[i]] < nearest[left[best]] {
				best = i
			}
		}
		next := left[best]
		sum += nearest[next]
		left[best] = left[len(left)-1]
		left = left[:len(left)-1]
		for _, i := range left {
			nearest[i] = min(nearest[i], weight(&list[next].wants, &list[i].wants, false))
		}
	}
	return sum
}

// spoolBound gives the changes of spool that the batches cannot do without.
func (d *draft) spoolBound() int64 {
	largest := make([][]measure.Mass, len(d.wires))
	for w := range d.wires {
		for _, s := range d.wires[w].spools {
			largest[w] = append(largest[w], s.free)
		}
		slices.Sort(largest[w])
		slices.Reverse(largest[w])
	}
	var changes int64
	for m := range d.lanes {
		for _, r := range d.lanes[m].runs {
			if r.stands != nil {
				continue
			}
			for _, u := range d.groups[r.group].uses {
				left := r.toWind
				for i := 0; i < len(largest[u.wire]) && left > 0; i++ {
					left -= fits(largest[u.wire][i], u.each, left)
					if left > 0 {
						changes++
					}
				}
			}
		}
	}
	return changes * d.rates.spool
}
