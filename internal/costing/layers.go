package costing

import (
	"maps"
	"slices"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// Layer is what is left of a receipt under FIFO, and what that is worth. Left is below zero where wire was drawn before it came, and above
// Size where weighings crossed.
type Layer struct {
	Spool      stock.SpoolCode
	Size, Left measure.Mass
	Cost       money.Minor // of Size, with what turned up later
	Value      money.Minor // of Left
}

// Layers gives the layers of a wire of which anything is left, the oldest first. Their values sum to the wire's under FIFO.
func (l *Ledger) Layers(wire material.WireCode) (list []Layer) {
	p := l.wires[wire]
	if p == nil {
		return nil
	}
	for _, one := range p.fifo.layers {
		if one.left != 0 {
			list = append(list, Layer{one.spool, one.size, one.left, one.cost, one.value()})
		}
	}
	return list
}

// Part is wire of a layer.
type Part struct {
	Spool stock.SpoolCode // that the layer came with
	Mass  measure.Mass
}

// Parts says from which layers a movement took wire under FIFO, or on which it went back. It knows the movements that a reversal may name.
func (l *Ledger) Parts(wire material.WireCode, id stock.MovementID) (parts []Part) {
	p := l.wires[wire]
	if p == nil {
		return nil
	}
	for _, t := range l.moves[id].took {
		parts = append(parts, Part{p.fifo.layers[t.layer].spool, t.mass})
	}
	return parts
}

// Clone gives a ledger that goes on by itself from here.
func (l *Ledger) Clone() *Ledger {
	c := *l
	c.moves, c.reversed, c.wires = maps.Clone(l.moves), maps.Clone(l.reversed), make(map[material.WireCode]*pool, len(l.wires))
	for wire, p := range l.wires {
		own := *p
		own.fifo.layers = slices.Clone(p.fifo.layers)
		if p.late != nil {
			late := *p.late
			own.late = &late
		}
		c.wires[wire] = &own
	}
	return &c
}
