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

// CostOf gives the signed cost that goes with a change of mass on a spool: cumulative rounding over the lot's cost, so
// that whatever the split of draws, their costs sum to the cost received and an empty spool carries zero.
func (b Balance) CostOf(change measure.Mass) money.Minor {
	left := money.Remaining(b.Cost, int64(b.Mass+change), int64(b.Net()))
	return left - b.Value
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
