package workshop

import (
	"context"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// Store keeps the shop's facts. Both methods run fn in one transaction; the Reader or Tx is good only inside fn, and
// everything read in one call is one consistent state.
type Store interface {
	// Read runs fn on a snapshot. It never waits for a writer.
	Read(ctx context.Context, fn func(Reader) error) error
	// InTx runs fn and commits what it wrote, or nothing at all when fn fails. No other transaction writes beside it. Where
	// another program at the same database gets in the way, fn runs again from the start: it must have no effect outside tx.
	InTx(ctx context.Context, fn func(Tx) error) error
	// Ready says whether the database answers and stands at the newest migration.
	Ready(ctx context.Context) error
}

// Reader answers what the shop knows. Lists come in a fixed order: by code unless said otherwise. Codes are matched without
// case. One that asks for a single thing fails with ErrNotFound when there is none.
type Reader interface {
	ShelfReader
	WorkReader
	BenchReader
	BuyingReader
	PlanningReader
	PeopleReader
	BooksReader

	Practice() (catalog.Practice, error) // the defaults where the shop has set nothing
	Alloys() ([]material.Alloy, error)   // the shop's own; the built-in ones are not stored
	Wires() ([]material.Wire, error)
	Suppliers() ([]catalog.Supplier, error)
	Recipes() ([]catalog.Recipe, error)
	Sets() ([]catalog.Set, error) // the standing ones, not those that were retired
	Machines() ([]catalog.Machine, error)

	Order(code order.Code) (order.Order, error)
	Orders(filter OrderFilter) ([]order.Order, error)
	OrderCodes() ([]order.Code, error)
	OrderCount() (int, error)
	// OrderPage gives one page of the orders that a query asks for, and how many it asks for.
	OrderPage(OrderQuery) (orders []order.Order, found int, err error)
	Customers(most int) ([]string, error) // of all orders, by name
	// Covered counts the strings of open orders that released or finished batches already serve, or that were given out of
	// finished stock.
	Covered() ([]batch.Serve, error)

	Spool(code stock.SpoolCode) (stock.Balance, error)
	Spools() ([]stock.Balance, error)
	// SpoolsAt gives what each spool held when a day was over, by the movements effective until then; nothing is allocated in
	// the past.
	SpoolsAt(date calendar.Date) ([]stock.Balance, error)
	Movements(code stock.SpoolCode) ([]stock.Movement, error) // by ID
	// MovementByKey gives the movement posted under an idempotency key.
	MovementByKey(key string) (stock.Movement, error)

	Batches(filter BatchFilter) ([]batch.Batch, error) // by date, machine, sequence

	// UsageKeys gives how many usage rows there are of each (day, wire, mass, order).
	UsageKeys() (map[stock.Usage]int, error)
	// Discrepancies re-adds the ledger and compares it with what is kept: see Verify.
	Discrepancies() ([]Discrepancy, error)

	// Answer gives the answer kept under an API idempotency key.
	Answer(key string) (KeptAnswer, error)
}

// Tx writes. Every method fails rather than half writes, and the transaction then ends without effect.
type Tx interface {
	Reader
	ShelfTx
	WorkTx
	BenchTx
	BuyingTx
	PlanningTx
	PeopleTx
	BooksTx

	SavePractice(catalog.Practice) error
	SaveAlloys([]material.Alloy) error // each saved one replaces that of the same code
	SaveWires([]material.Wire) error
	SaveSuppliers([]catalog.Supplier) error
	SaveRecipes([]catalog.Recipe) error
	SaveSets([]catalog.Set) error    // one that was retired stands again
	RetireSet(catalog.SetCode) error // Sets no longer lists it; orders keep their strings and its code
	SaveMachines([]catalog.Machine) error

	AddOrders([]order.Order) error                               // ErrExists when a code is taken
	SetOrderStatus(code order.Code, from, to order.Status) error // ErrChanged when it is no longer from

	AddSpools([]stock.Spool) error // with an empty balance; ErrExists when a code is taken
	// Post appends movements and moves their spools' balances with them. It fails with stock.ErrNegative, stock.ErrTooMuch or
	// stock.ErrBelow (naming the spool) when a balance would leave its bounds, ErrExists when an idempotency key is taken,
	// ErrClosed when a movement falls into a closed month. It gives the movements back with their numbers.
	Post([]stock.Movement) ([]stock.Movement, error)
	// Allocate promises (or, negative, frees) wire of a spool; ErrShort when less than that is free.
	Allocate(code stock.SpoolCode, mass measure.Mass) error

	AddUsage([]stock.Usage) error
	Record(AuditEntry) error
	KeepAnswer(KeptAnswer) error
}

// OrderFilter narrows a list of orders; the zero value lists all, by due date and code.
type OrderFilter struct {
	OpenOnly bool           // confirmed or planned
	Status   []order.Status // in one of these; none: in any
}

// BatchFilter narrows a list of batches.
type BatchFilter struct {
	Date   calendar.Date // zero for every day
	Status batch.Status  // empty for every status
}

// Discrepancy is one broken invariant.
type Discrepancy struct {
	Invariant string `json:"invariant"` // its sentence
	Subject   string `json:"subject"`   // the spool, batch, order or month
	Detail    string `json:"detail"`    // what was found and what it should be
}

// AuditEntry is who did what, and why.
type AuditEntry struct {
	ID      int64 // given by the store; later ones are greater
	At      time.Time
	Person  string
	Action  string // "import", "release plan"
	Subject string // "2026-03-02"
	Detail  string
	Source  string // the door it came through: Person.Via
}

// KeptAnswer is what a write of the API answered, so that its repetition under the same key answers the same.
type KeptAnswer struct {
	Key         string
	RequestHash []byte // of method, path and body: the same key with another request is refused
	Status      int
	Body        []byte
	At          time.Time
}
