package stock

import (
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Kind is why wire moved.
type Kind string

// The kinds of movement.
const (
	Receipt          Kind = "receipt"
	Draw             Kind = "draw"
	Scrap            Kind = "scrap"
	WeighBack        Kind = "weigh-back difference"
	CountDifference  Kind = "count difference"
	ReturnToSupplier Kind = "return to supplier"
	WriteOff         Kind = "write-off"
	Reversal         Kind = "reversal"

	// CostDifference is what an invoice asks beyond the receipt, put on the spools that came: no mass. CostUsed follows it and takes off
	// again what belongs to wire that is gone, or puts that back where such wire comes back.
	CostDifference Kind = "cost difference"
	CostUsed       Kind = "cost difference of used wire"
)

// Kinds lists every kind, in the order books show them.
func Kinds() []Kind {
	return []Kind{Receipt, Draw, Scrap, WeighBack, CountDifference, ReturnToSupplier, WriteOff, CostDifference, CostUsed, Reversal}
}

// MovementID numbers movements in the order they were posted.
type MovementID int64

// Movement is one entry of the ledger. It is never changed; a mistake is reversed by another movement that names it.
type Movement struct {
	ID          MovementID
	Spool       SpoolCode
	Kind        Kind
	Mass        measure.Mass  // signed: what went on the spool
	Cost        money.Minor   // signed, like Mass
	EffectiveOn calendar.Date // the shop's day it belongs to: decides its month
	EffectiveAt time.Time     // the instant it happened, UTC: decides what a weighing as of an earlier time saw
	PostedAt    time.Time     // when it was written, UTC
	Person      string
	Reason      string
	Source      string     // the document behind it: "import", "batch B260302-01"
	Key         string     // idempotency key: the same key posts once
	Reverses    MovementID // the movement this one takes back, or zero
}
