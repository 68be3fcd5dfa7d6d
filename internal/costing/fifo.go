package costing

import (
	"slices"

	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// layer is one receipt: what is left of it is worth its cost's share of its size (cumulative rounding).
type layer struct {
	size   measure.Mass
	left   measure.Mass // below zero on the last layer only, where wire was drawn before it came; above size where weighings crossed
	cost   money.Minor  // with what turned up later
	spool  stock.SpoolCode
	closed bool // its receipt was reversed: nothing is put back on it
}

func (l layer) value() money.Minor { return money.Remaining(l.cost, int64(l.left), int64(l.size)) }

// take is what a movement took from, or put on, a layer.
type take struct {
	layer int
	mass  measure.Mass
}

// fifo holds the layers of one wire in the order in which they were received.
type fifo struct {
	layers []layer
	front  int // nothing is left on the layers before it
}

// change sets what is left on a layer and gives the change of its value.
func (f *fifo) change(i int, by measure.Mass) money.Minor {
	l := &f.layers[i]
	before := l.value()
	l.left += by
	return l.value() - before
}

// receive adds a layer. Where wire is short, the layer gives it at once; revalued is what that wire cost beyond, or short of, what it
// was drawn at.
func (f *fifo) receive(spool stock.SpoolCode, mass measure.Mass, cost money.Minor) (revalued money.Minor, took take) {
	f.layers = append(f.layers, layer{size: mass, left: mass, cost: cost, spool: spool})
	last := len(f.layers) - 1
	if last > 0 && f.layers[last-1].left < 0 {
		short := f.layers[last-1].left
		revalued = f.change(last-1, -short) + f.change(last, short)
	}
	return revalued, take{last, mass}
}

// land puts a late cost on the layer of a spool and gives what of it stays there: the share of what is left.
func (f *fifo) land(spool stock.SpoolCode, late money.Minor) (held money.Minor) {
	for i, l := range slices.Backward(f.layers) {
		if l.spool == spool {
			f.layers[i].cost += late
			return f.layers[i].value() - l.value()
		}
	}
	return 0
}

// issue takes mass from the oldest layers; what is not there goes on the last one.
func (f *fifo) issue(mass measure.Mass) (cost money.Minor, took []take) {
	last := len(f.layers) - 1
	for mass > 0 {
		for f.front < last && f.layers[f.front].left <= 0 {
			f.front++
		}
		part := mass
		if f.front < last {
			part = min(mass, f.layers[f.front].left)
		}
		cost += f.change(f.front, -part)
		took = append(took, take{f.front, part})
		mass -= part
	}
	return cost, took
}

// putBack puts mass on again: first where it is short, then on the layers that it was taken from, then on those drawn from
// last. What none has room for, because weighings as of earlier days crossed, goes on the newest at its price.
func (f *fifo) putBack(mass measure.Mass, from []take) (cost money.Minor, took []take) {
	put := func(i int, limit measure.Mass) {
		if part := min(mass, limit); part > 0 {
			cost += f.change(i, part)
			took = append(took, take{i, part})
			mass -= part
			f.front = min(f.front, i)
		}
	}
	last := len(f.layers) - 1
	put(last, -f.layers[last].left)
	for _, t := range from {
		put(t.layer, t.mass)
	}
	for i := last; i >= 0 && mass > 0; i-- {
		if l := f.layers[i]; !l.closed {
			put(i, l.size-l.left)
		}
	}
	put(last, mass)
	return cost, took
}

// cancel takes off what a movement put on: from its own layers what is left of it there, and the rest from the oldest ones.
func (f *fifo) cancel(mass measure.Mass, from []take) (cost money.Minor, took []take) {
	for _, t := range from {
		l := &f.layers[t.layer]
		if part := min(mass, t.mass, l.left); part > 0 {
			cost += f.change(t.layer, -part)
			took = append(took, take{t.layer, part})
			mass -= part
		}
	}
	rest, more := f.issue(mass)
	return cost + rest, append(took, more...)
}

// close makes sure that nothing is put back on the layers of a receipt that was taken back.
func (f *fifo) close(layers []take) {
	for _, t := range layers {
		f.layers[t.layer].closed = f.layers[t.layer].left == 0
	}
}

func (f *fifo) value() (sum money.Minor) {
	for _, l := range f.layers[f.front:] {
		sum += l.value()
	}
	return sum
}
