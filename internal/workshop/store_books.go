package workshop

import (
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/purchase"
	"windingroom/internal/stock"
)

// BooksReader is what the books are made of: the ledger by month, closed months, methods, what work cost, suppliers' invoices.
type BooksReader interface {
	// Ledger hands the movements effective from the first to the last day to do, one after the other: by day, instant and number.
	// A first day of zero begins with the first movement. It holds one movement at a time, however many there are.
	Ledger(first, last calendar.Date, do func(LedgerLine) error) error
	// LedgerOf is Ledger for one wire.
	LedgerOf(wire material.WireCode, first, last calendar.Date, do func(LedgerLine) error) error
	// LedgerMark tells the movements that Ledger hands out for some days, without reading them.
	LedgerMark(first, last calendar.Date) (LedgerMark, error)
	// Reversed gives the movements that were taken back.
	Reversed() (map[stock.MovementID]bool, error)
	// MonthsMoved gives the months that have movements, in order.
	MonthsMoved() ([]costing.Period, error)

	// Periods gives the months that are closed, in order.
	Periods() ([]Period, error)
	// Closings gives every closing and reopening, in the order they happened.
	Closings() ([]Closing, error)
	// CostMethods gives what was decided of the books' methods, by family and month.
	CostMethods() ([]CostMethod, error)

	// Work hands what was wound from the first to the last day to do, a result that stands at a time: by day, batch and number.
	Work(first, last calendar.Date, do func(WorkDone) error) error
	// Charges gives what weighings posted or taken back from the first to the last day charged to batches, or to none, by movement.
	Charges(first, last calendar.Date) ([]Charge, error)
	// Bought says from whom and for which purchase the spools came that moved as receipts or returns from the first to the last day.
	Bought(first, last calendar.Date) (map[stock.SpoolCode]Bought, error)
	// NotInvoiced gives the purchases of which more came up to a day than invoices of suppliers up to it ask for, or less, by code.
	NotInvoiced(until calendar.Date) ([]NotInvoiced, error)
	// PurchaseInvoices gives the suppliers' invoices of a purchase in the order they were noted.
	PurchaseInvoices(purchase.Code) ([]PurchaseInvoice, error)
	// CameFor gives the spools that came for a purchase, by code, with what their wire has cost so far.
	CameFor(purchase.Code) ([]CameFor, error)
	// LastDraws gives the day on which each wire was last drawn on, up to a day.
	LastDraws(until calendar.Date) (map[material.WireCode]calendar.Date, error)
}

// BooksTx writes it.
type BooksTx interface {
	// ClosePeriod closes a month and adds to the history; ErrExists when it is closed.
	ClosePeriod(Period) error
	// ReopenPeriod opens a month again and adds to the history; ErrNotFound when it is not closed.
	ReopenPeriod(Closing) error
	// SetCostMethod decides a family's method from a month on, in place of what was decided for that month.
	SetCostMethod(CostMethod) error
	AddPurchaseInvoice(PurchaseInvoice) error // ErrExists when the purchase has one of that number
}

// LedgerLine is a movement with the wire and lot of its spool.
type LedgerLine struct {
	stock.Movement
	Wire     material.WireCode
	Lot      string
	Reversed stock.Kind // of the movement that a reversal takes back; empty for any other
}

// Counts gives the kind as which the books count the movement: a reversal counts as what it takes back.
func (l LedgerLine) Counts() stock.Kind {
	if l.Reversed != "" {
		return l.Reversed
	}
	return l.Kind
}

// Period is a month that is closed.
type Period struct {
	Month    costing.Period
	ClosedAt time.Time
	ClosedBy string
	Hash     string // over the figures and the month's movements
	Figures  string // JSON, as it was hashed
}

// The acts of a month's history.
const (
	Closed   = "closed"
	Reopened = "reopened"
)

// Closing is one act in a month's history.
type Closing struct {
	Month  costing.Period
	Act    string
	At     time.Time
	Person string
	Reason string // of a reopening
	Hash   string // that it was closed with
}

// CostMethod is what was decided of a family's books, and by whom.
type CostMethod struct {
	costing.Method
	Reason string
	SetAt  time.Time
	SetBy  string
}

// WorkDone is a result as the books count it.
type WorkDone struct {
	Batch     batch.Code
	Number    int
	WoundOn   calendar.Date
	Good      int
	Scrapped  int
	Minutes   time.Duration
	Person    string
	Machine   catalog.MachineCode
	Recipe    catalog.RecipeCode
	Scale     measure.Size
	Setup     time.Duration // of the batch, as it was planned
	TakenBack bool          // in these days, and wound before: it counts against them
	Draws     []WorkDraw    `gorm:"-"`
	Given     []batch.Serve `gorm:"-"` // where the good strings went; those of no order are finished stock
}

// WorkDraw is the wire that a result took from one spool. Cost is what it cost there, or what was put back where the result was taken
// back; never below zero.
type WorkDraw struct {
	Spool    stock.SpoolCode
	Wire     material.WireCode
	Lot      string
	Strings  int
	Each     measure.MassEach
	Mass     measure.Mass
	Cost     money.Minor
	Movement stock.MovementID
}

// Charge is a part of a weighing's difference and the batch that bears it.
type Charge struct {
	Movement stock.MovementID // the weighing's, or the reversal's that takes it back
	Spool    stock.SpoolCode
	Wire     material.WireCode
	Lot      string
	Mass     measure.Mass // signed like the movement
	Batch    batch.Code   // empty where none bears it; so are the next three
	Machine  catalog.MachineCode
	Recipe   catalog.RecipeCode
	Scale    measure.Size
}

// Bought is where a spool came from.
type Bought struct {
	Supplier string        // of the purchase, else of the wire; may be empty
	Purchase purchase.Code // may be empty
	WireCost money.Minor   // without its share of the freight; that of the spool where it came for no purchase
	Expected money.Minor   // at the ordered price; below zero where it came for no purchase
}

// NotInvoiced is a purchase whose wire and invoices do not meet.
type NotInvoiced struct {
	Purchase purchase.Code
	Supplier string
	LastOn   calendar.Date // the last receipt
	Mass     measure.Mass
	Received money.Minor // at cost, with its share of the freight
	Invoiced money.Minor
}

// PurchaseInvoice is what a supplier asks for a purchase.
type PurchaseInvoice struct {
	Purchase   purchase.Code
	Number     string // the supplier's
	InvoicedOn calendar.Date
	Amount     money.Minor
	Corrects   string // the number of the invoice that this one corrects; may be empty
	PostedAt   time.Time
	Person     string
}

// CameFor is a spool that came for a purchase.
type CameFor struct {
	Spool stock.SpoolCode
	Cost  money.Minor // of its receipt with what turned up later, less what was returned
}
