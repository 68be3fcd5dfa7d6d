// Package purchase holds orders of wire to suppliers: their lines, their life from proposed to closed, and what came of them.
package purchase

import (
	"math"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// Code names a purchase.
type Code string

// Status is where a purchase stands.
type Status string

// The life of a purchase. Cancelled may follow proposed and sent.
const (
	Proposed     Status = "proposed"
	Sent         Status = "sent"
	PartReceived Status = "part received"
	Closed       Status = "closed"
	Cancelled    Status = "cancelled"
)

// Purchase is wire ordered from one supplier.
type Purchase struct {
	Code       Code
	Supplier   string
	Status     Status
	Night      calendar.Date // whose check proposed it; zero for a person's own, or one that a person has changed
	OrderedOn  calendar.Date // sent on; zero before
	PromisedOn calendar.Date // by the supplier; zero where it named no day
	Freight    money.Minor   // expected
	Note       string
	MadeAt     time.Time
	MadeBy     string
	Version    int       // counts its changes
	Key        string    // idempotency key it was made under, or empty
	Lines      []Line    `gorm:"-"` // by wire
	Receipts   []Receipt `gorm:"-"` // by day and spool
}

// Line is one wire of a purchase.
type Line struct {
	Wire       material.WireCode
	Packs      int
	Mass       measure.Mass
	PricePerKg money.Minor
	Received   measure.Mass `gorm:"-"` // so far
}

// Receipt is a spool that came for a purchase.
type Receipt struct {
	Spool      stock.SpoolCode
	Wire       material.WireCode
	ReceivedOn calendar.Date
	Mass       measure.Mass
	Cost       money.Minor // of its wire, without freight
	Expected   money.Minor // what the ordered price makes of its mass
}

// Difference is what a receipt cost beyond the ordered price: (actual price − ordered price) × mass received, unfavourable above
// zero (purchase price variance: Warren, Reeve and Duchac, Accounting, ex. 23-5, read in a copy).
func (r Receipt) Difference() money.Minor { return r.Cost - r.Expected }

// Open says whether wire is still to come.
func (p Purchase) Open() bool { return p.Status == Sent || p.Status == PartReceived }

// Total gives the cost of the lines and the freight.
func (p Purchase) Total() money.Minor {
	total := p.Freight
	for _, l := range p.Lines {
		total += l.Cost()
	}
	return total
}

// Mass gives what is ordered of all wires.
func (p Purchase) Mass() (sum measure.Mass) {
	for _, l := range p.Lines {
		sum += l.Mass
	}
	return sum
}

// Difference sums the price differences of what came so far.
func (p Purchase) Difference() (sum money.Minor) {
	for _, r := range p.Receipts {
		sum += r.Difference()
	}
	return sum
}

// Line finds a wire's line; nil where it has none.
func (p Purchase) Line(wire material.WireCode) *Line {
	for i := range p.Lines {
		if p.Lines[i].Wire == wire {
			return &p.Lines[i]
		}
	}
	return nil
}

// Complete says whether every line has come.
func (p Purchase) Complete() bool {
	for _, l := range p.Lines {
		if l.Outstanding() > 0 {
			return false
		}
	}
	return true
}

// DueOn gives the day on which what is outstanding should come: the promised one, else the day it was ordered and the supplier's usual days.
func (p Purchase) DueOn(leadDays float64) calendar.Date {
	if !p.PromisedOn.IsZero() {
		return p.PromisedOn
	}
	return p.OrderedOn + calendar.Date(math.Ceil(leadDays))
}

// Cost gives what the line costs at its price, to the minor unit.
func (l Line) Cost() money.Minor { return l.CostOf(l.Mass) }

// CostOf gives what a mass costs at the line's price, to the minor unit.
func (l Line) CostOf(mass measure.Mass) money.Minor {
	return money.Share(l.PricePerKg, int64(mass), int64(measure.Kilogram))
}

// allowance is the share by which a delivery may fall short and still be all that was ordered: spools are wound by weight, not cut to it
// (judgement).
const allowance = 0.05

// Outstanding gives what is still to come of a line.
func (l Line) Outstanding() measure.Mass {
	if float64(l.Received) >= (1-allowance)*float64(l.Mass) {
		return 0
	}
	return l.Mass - l.Received
}
