package stock

import (
	"errors"
	"fmt"

	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Refusals of the ledger.
var (
	ErrNegative = errors.New("a spool cannot hold less than nothing")
	ErrTooMuch  = errors.New("a spool cannot hold more than was received")
	ErrBelow    = errors.New("allocated wire cannot be taken")
	ErrWithheld = errors.New("the spool is quarantined")
)

// CostOf gives the signed cost that goes with a change of mass on a spool: cumulative rounding over the lot's cost with what
// turned up later, so that whatever the split of draws, their costs sum to the cost received and an empty spool carries zero.
func (b Balance) CostOf(change measure.Mass) money.Minor {
	left := money.Remaining(b.Cost+b.Late, int64(b.Mass+change), int64(b.Net()))
	return left - b.Value
}

// CostBack gives the cost with which a movement is taken back: what it had, but for the minor unit that cumulative rounding may tell. A
// cost that turned up after the movement is no part of it: what CostOf nothing gives afterwards.
func (b Balance) CostBack(of Movement) money.Minor {
	cost := b.CostOf(-of.Mass)
	if off := cost + of.Cost; off < -1 || off > 1 {
		return -of.Cost
	}
	return cost
}

// Land splits a late cost (below zero: a credit) between the wire on hand and that which is gone, as if the wire had been received at
// it: the two sum to it, and CostOf goes on from there.
func (b Balance) Land(late money.Minor) (onHand, used money.Minor) {
	b.Late += late
	onHand = b.CostOf(0)
	return onHand, late - onHand
}

// Check says whether the spool may hold its balance after a change of mass; the error names the spool and the bound.
func (b Balance) Check(change measure.Mass) error {
	after := b.Mass + change
	switch {
	case after < 0:
		return fmt.Errorf("spool %s holds %s and cannot give %s: %w", b.Code, b.Mass, -change, ErrNegative)
	case after > b.Net():
		return fmt.Errorf("spool %s would hold %s of the %s received: %w", b.Code, after, b.Net(), ErrTooMuch)
	}
	return nil
}
