// Package stock holds spools and the ledger of what went on and off them. A spool's stock is the sum of its movements;
// movements are only ever added.
package stock

import (
	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// SpoolCode names a spool.
type SpoolCode string

// Spool is one spool of wire as it was received.
type Spool struct {
	Code       SpoolCode
	Wire       material.WireCode
	Lot        string // supplier lot, received at one price
	ReceivedOn calendar.Date
	Gross      measure.Mass // as received, with the empty spool
	Tare       measure.Mass // the empty spool
	Cost       money.Minor  // of the net wire as received
	Location   string
	Type       string // the spool type whose learned tare stands for its own; empty where this very spool was weighed empty
}

// Net gives the wire received.
func (s Spool) Net() measure.Mass { return s.Gross - s.Tare }

// State says whether a spool may be used.
type State string

// The states of a spool. A quarantined one stays in the books and out of every plan until it is released.
const (
	Available   State = "available"
	Quarantined State = "quarantined"
)

// Balance is what a spool holds now.
type Balance struct {
	Spool
	State     State
	UsableEnd measure.Mass // of its wire
	Mass      measure.Mass // on hand: the sum of its movements
	Value     money.Minor  // cost of what is on hand: the sum of its movements' costs
	Late      money.Minor  // what the wire received turned out to cost beyond Cost: the sum of its cost differences
	Allocated measure.Mass // promised to released batches
}

// Free gives on hand less allocated.
func (b Balance) Free() measure.Mass { return b.Mass - b.Allocated }

// Remnant says whether what is left is below the usable end.
func (b Balance) Remnant() bool { return b.Mass < b.UsableEnd }

// Drawable gives what a new batch may draw from the spool: its free wire, or nothing from a remnant or a quarantined one.
func (b Balance) Drawable() measure.Mass {
	if b.Remnant() || b.State == Quarantined {
		return 0
	}
	return b.Free()
}
