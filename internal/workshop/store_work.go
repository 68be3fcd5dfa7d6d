package workshop

import (
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/purchase"
	"windingroom/internal/stock"
)

// WorkReader is what the shop knows of the life of orders and batches: allocations by wire, results, traces.
type WorkReader interface {
	// Allocations gives what orders need and hold of some wires or (without any) of all; the earliest due first, then by order
	// and wire.
	Allocations(wires ...material.WireCode) ([]Allocation, error)
	// ShortAllocations gives those of Allocations that hold less than is needed.
	ShortAllocations(wires ...material.WireCode) ([]Allocation, error)
	// AllocatedTo gives what one order needs and holds.
	AllocatedTo(code order.Code) (map[material.WireCode]Promise, error)
	// Held gives, for some wires, what all orders hold together and what they are short of.
	Held(wires ...material.WireCode) (map[material.WireCode]Held, error)
	// SpoolsOf gives the spools of some wires.
	SpoolsOf(wires ...material.WireCode) ([]stock.Balance, error)
	// CoveredOf is Covered for one order, open or not. Strings that a finished batch served in vain are listed with none.
	CoveredOf(code order.Code) ([]batch.Serve, error)
	// ScheduledReceipts gives the wire that is bought and on its way, by day.
	ScheduledReceipts() ([]ScheduledReceipt, error)

	Batch(code batch.Code) (batch.Batch, error)
	// Served says whether a batch winds, or has wound, for an order.
	Served(code order.Code) (bool, error)
	// BatchesServing gives the released batches that wind for an order and are not finished.
	BatchesServing(code order.Code) ([]batch.Batch, error)
	// Results gives the results of a batch, undone ones too, by number.
	Results(code batch.Code) ([]batch.Result, error)
	// ResultByKey gives the result that stands under an idempotency key.
	ResultByKey(key string) (batch.Result, error)
	// GoodStrings gives, for each string of an order, how many good ones it has: wound for it, or given out of finished stock.
	GoodStrings(code order.Code) ([]batch.Serve, error)
	// RecipeResults gives what came off the machine of each recipe so far.
	RecipeResults() (map[catalog.RecipeCode]batch.Results, error)
	// Calibrations gives what finished strings of some recipes, or (without any) of all, weighed and measured, by number.
	Calibrations(recipes ...catalog.RecipeCode) ([]Calibration, error)
	// WeighedDraws gives what batches took from spools that were weighed afterwards, with what the weighings charged to them.
	WeighedDraws() ([]WeighedDraw, error)
	// FinishedStock gives the good strings that belong to no order: surplus, and those of orders cancelled since, less what orders
	// were given of them.
	FinishedStock() ([]FinishedStrings, error)
	// Surplus gives the same of finished batches, by the part of the result it is of, the oldest first.
	Surplus() ([]batch.Surplus, error)
	// GivenOf gives what orders were given of the surplus of a result, by order, line and position.
	GivenOf(code batch.Code, result int) ([]batch.Given, error)

	// TraceOf gives the good strings of one order with the wire they were wound from.
	TraceOf(code order.Code) ([]TracedString, error)
	// TraceOfLot gives the spools of a lot, the batches that drew on them or will, and the good strings wound from them.
	TraceOfLot(lot string) ([]TracedSpool, []TracedBatch, []TracedString, error)
}

// WorkTx writes it.
type WorkTx interface {
	// SetAllocations sets what an order needs and holds; where it needs nothing nothing is kept, wires not named stay.
	SetAllocations(code order.Code, promises map[material.WireCode]Promise) error
	AddAllocations([]Allocation) error // of orders that have none yet
	// ClearAllocations frees all of an order's wire.
	ClearAllocations(code order.Code) error
	// SaveOrder puts an order in the place of the one of its code. Proposals for strings that it no longer has, or has
	// otherwise, are dropped. It fails with ErrRefers where results or released batches name a string that is gone.
	SaveOrder(order.Order) error
	// AddCalibration adds one under the next number; ErrExists when its key is taken.
	AddCalibration(Calibration) error
	// SetPromised notes the day that the shop promised an order for; no day takes the promise away.
	SetPromised(code order.Code, on calendar.Date) error
	// SetShort notes why an order was packed or shipped with strings missing.
	SetShort(code order.Code, reason string) error

	// AddResult adds a result under the batch's next number, with what it took and gave. Its movements are posted.
	AddResult(batch.Result) (batch.Result, error)
	// UndoResult marks a result undone; ErrChanged when it already is.
	UndoResult(code batch.Code, number int, by, reason string, at time.Time) error
	// SetDrawAllocated sets what of a draw is still promised. The spool's allocation is moved by Allocate.
	SetDrawAllocated(code batch.Code, draw int, mass measure.Mass) error
	SetBatchStatus(code batch.Code, from, to batch.Status) error // ErrChanged when it is no longer from

	// GiveFinished gives orders strings out of finished stock; ReturnFinished puts back what one order was given, ReturnFinishedOf
	// what all were given of one result.
	GiveFinished([]batch.Given) error
	ReturnFinished(code order.Code) error
	ReturnFinishedOf(code batch.Code, result int) error
}

// Allocation is the wire promised to an order.
type Allocation struct {
	Order order.Code
	DueOn calendar.Date
	Wire  material.WireCode
	Promise
}

// Promise is what an order needs of a wire for its open strings, expected scrap included, and what it holds of it.
type Promise struct{ Needed, Mass measure.Mass }

// Short gives what is needed beyond what is held.
func (p Promise) Short() measure.Mass { return p.Needed - p.Mass }

// Held is what orders hold of a wire and what they are short of.
type Held struct{ Mass, Short measure.Mass }

// ScheduledReceipt is wire that is bought and on its way.
type ScheduledReceipt struct {
	Purchase purchase.Code
	Wire     material.WireCode
	On       calendar.Date
	Mass     measure.Mass
}

// FinishedStrings is a number of good strings that no order owns.
type FinishedStrings struct {
	Recipe  catalog.RecipeCode
	Scale   measure.Size
	Strings int
}

// WeighedDraw is the wire that a batch took from one spool, and what weighings found differing of it.
type WeighedDraw struct {
	Recipe  catalog.RecipeCode
	Scale   measure.Size
	Wire    material.WireCode
	Strings int
	Drawn   measure.Mass
	Share   measure.Mass // signed: below zero where wire was missing
}

// TracedSpool is a spool with where it came from and how much of it was drawn.
type TracedSpool struct {
	Spool      stock.SpoolCode
	Wire       material.WireCode
	Lot        string
	Supplier   string // of the wire; empty where none is named
	ReceivedOn calendar.Date
	Received   measure.Mass
	OnHand     measure.Mass
	Drawn      measure.Mass // by results that stand
}

// TracedBatch is a batch that drew on a lot, or holds wire of it and is still to be wound.
type TracedBatch struct {
	Batch   batch.Code
	Date    calendar.Date // planned for
	Machine catalog.MachineCode
	Status  batch.Status
	Recipe  catalog.RecipeCode
	Scale   measure.Size
	Drawn   measure.Mass // by results that stand
	Held    measure.Mass // still to be drawn
}

// TracedString is a number of good strings with one spool that they may hold wire of. Where a result took a wire from several
// spools nobody knows which string holds which: the string then appears under each of them.
type TracedString struct {
	Order    order.Code // empty: finished stock
	Customer string
	DueOn    calendar.Date
	Status   order.Status
	Line     int
	Position int
	Recipe   catalog.RecipeCode
	Scale    measure.Size
	Strings  int

	Batch   batch.Code
	Result  int
	WoundOn calendar.Date
	Person  string // who wound
	Machine catalog.MachineCode

	Spool      stock.SpoolCode
	Wire       material.WireCode
	Lot        string
	Supplier   string
	ReceivedOn calendar.Date
	SpoolTook  int              // strings, good or scrapped, that the result took from the spool
	Each       measure.MassEach // of the wire in one string
	Drawn      measure.Mass     // that the result took from the spool
}

// AtMost gives how many of the strings can hold wire of the spool.
func (t TracedString) AtMost() int { return min(t.Strings, t.SpoolTook) }

// Mass gives the wire of the spool in the strings, at most.
func (t TracedString) Mass() measure.Mass { return t.Each.Times(int64(t.AtMost())) }
