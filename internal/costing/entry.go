package costing

import (
	"cmp"
	"errors"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// Refusals of entries that no ledger can have.
var (
	ErrOrder   = errors.New("entries are wanted by day, instant and number")
	ErrNothing = errors.New("nothing of the wire was received before")
	ErrKind    = errors.New("the kind of movement and the sign of its mass do not go together")
)

// Entry is a movement of the ledger as costing sees it.
type Entry struct {
	ID       stock.MovementID
	Wire     material.WireCode
	Spool    stock.SpoolCode
	Lot      string
	Kind     stock.Kind
	Mass     measure.Mass  // signed: what went on the spool
	Cost     money.Minor   // signed, as the ledger has it: that of the very lot
	On       calendar.Date // decides its month
	At       time.Time     // orders the entries of a day
	Reverses stock.MovementID
}

// EntryOf gives a movement as costing sees it, with the wire and lot of its spool.
func EntryOf(m stock.Movement, wire material.WireCode, lot string) Entry {
	return Entry{ID: m.ID, Wire: wire, Spool: m.Spool, Lot: lot, Kind: m.Kind, Mass: m.Mass, Cost: m.Cost, On: m.EffectiveOn, At: m.EffectiveAt,
		Reverses: m.Reverses}
}

// Compare orders entries as they took effect: by day, by instant, and those of one instant by number. That is the order in
// which costing reads them, whenever they were posted.
func (e Entry) Compare(other Entry) int {
	return cmp.Or(cmp.Compare(e.On, other.On), e.At.Compare(other.At), cmp.Compare(e.ID, other.ID))
}

// Formula is a cost formula: how it is decided which cost goes with wire that leaves.
type Formula string

// The cost formulas of IAS 2, paragraphs 23 to 27. The standard allows no last-in first-out.
const (
	Specific      Formula = "specific"       // each spool at its own lot's cost
	FIFO          Formula = "fifo"           // what came first leaves first
	MovingAverage Formula = "moving average" // at the average of what is there, worked out anew at each receipt
)

// Formulas lists the cost formulas in the order in which books show them.
func Formulas() []Formula { return []Formula{Specific, FIFO, MovingAverage} }

// Costs is one amount under each formula.
type Costs struct{ Specific, FIFO, MovingAverage money.Minor }

// Of gives the amount under a formula; an unknown one counts as specific.
func (c Costs) Of(f Formula) money.Minor {
	switch f {
	case FIFO:
		return c.FIFO
	case MovingAverage:
		return c.MovingAverage
	}
	return c.Specific
}

// Plus adds amounts formula by formula.
func (c Costs) Plus(d Costs) Costs {
	return Costs{c.Specific + d.Specific, c.FIFO + d.FIFO, c.MovingAverage + d.MovingAverage}
}

// Column is where a movement stands in the roll-forward.
type Column string

// The columns between opening and closing.
const (
	Received   Column = "received"   // receipts and what they turned out to cost, less returns to the supplier
	Drawn      Column = "drawn"      // by batches
	Scrapped   Column = "scrap"      // scrap and write-offs
	Difference Column = "difference" // of weighings and counts; late cost of wire that was gone
)

// ColumnOf gives the column of a kind of movement. A late cost is cost of purchase (IAS 2, paragraphs 10 and 11), so it is received,
// whole; what of it belongs to wire that is gone leaves at once as a difference. ok is false for a reversal, which stands where that
// stands which it reverses.
func ColumnOf(kind stock.Kind) (column Column, ok bool) {
	switch kind {
	case stock.Receipt, stock.ReturnToSupplier, stock.CostDifference:
		return Received, true
	case stock.Draw:
		return Drawn, true
	case stock.Scrap, stock.WriteOff:
		return Scrapped, true
	case stock.WeighBack, stock.CountDifference, stock.CostUsed:
		return Difference, true
	}
	return "", false
}

// Posted is an entry with what it costs under each formula.
type Posted struct {
	Entry
	Column   Column
	Costs    Costs // signed, like Mass
	Revalued Costs // beside Costs, and no part of them: wire drawn before it came (Ledger), settled by this receipt
}
