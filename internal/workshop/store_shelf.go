package workshop

import (
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// ShelfReader is what the shop knows of its spools beyond their balances: types and tares, weighings, deliveries.
type ShelfReader interface {
	// Weighing gives the weighing behind a movement.
	Weighing(id stock.MovementID) (Weighing, error)
	// Weighings gives those effective from the first to the last day that were not taken back, by their movements' numbers.
	Weighings(first, last calendar.Date) ([]Weighing, error)
	// Watches gives, for every spool that was weighed or drawn on, when it was weighed last and what was drawn since.
	Watches() (map[stock.SpoolCode]Watch, error)
	// Holders gives the released batches that still hold wire of a spool, in the order in which they will be wound.
	Holders(code stock.SpoolCode) ([]Holder, error)
	// RecipesOf gives the recipes of batches; codes of no batch are left out.
	RecipesOf(codes []batch.Code) (map[batch.Code]catalog.RecipeCode, error)
	// Movement gives one movement by its number.
	Movement(id stock.MovementID) (stock.Movement, error)

	// EmptySpools gives what the empty spools of each type weighed, in the order in which they were weighed.
	EmptySpools() (map[string][]measure.Mass, error)
	// DeliveryCodes gives the codes of deliveries that begin with a text.
	DeliveryCodes(prefix string) ([]string, error)
	// DeliverySpools gives the spools of a delivery in its order; ErrNotFound when there is none of that code.
	DeliverySpools(code string) ([]stock.SpoolCode, error)
	// WireUsed gives what was used of each wire from the first to the last day: earlier consumption and draws.
	WireUsed(first, last calendar.Date) (map[material.WireCode]measure.Mass, error)
}

// ShelfTx writes it.
type ShelfTx interface {
	KeepWeighing(Weighing) error // its movement is posted; ErrExists when it has a weighing
	SetLocation(code stock.SpoolCode, location string) error
	SetState(code stock.SpoolCode, state stock.State) error
	AddEmptySpool(EmptySpool) error // of a new type where there is none of that name yet; ErrExists when the key is taken
	// AddDelivery notes that spools came in together; ErrExists when its code is taken.
	AddDelivery(Delivery, []stock.SpoolCode) error
}

// Weighing is a weigh-back or a count as it is kept. Book, Net and Uncertainty are those of its moment.
type Weighing struct {
	Movement    stock.Movement // its mass is Net less Book
	Gross, Tare measure.Mass
	Book        measure.Mass
	Net         measure.Mass
	Uncertainty measure.Mass // of the difference, k = 2
	Noise       bool         // the difference lies within its uncertainty
	Surprise    stock.Surprise
	Note        string
	Shares      []stock.Share // sum to the movement's mass
}

// Watch is what says whether a spool should be weighed.
type Watch struct {
	WeighedOn calendar.Date // zero: never since it was received
	Drawn     []stock.Drawn // since then; of batches by code, with their recipes
}

// Holder is a draw of a released batch with the wire that it still holds.
type Holder struct {
	Batch   batch.Code
	Number  int // of the draw in the batch
	Date    calendar.Date
	Machine catalog.MachineCode
	Mass    measure.Mass
}

// EmptySpool is one empty spool that was weighed.
type EmptySpool struct {
	Type   string
	Mass   measure.Mass
	At     time.Time
	Person string
	Key    string // idempotency key, or empty
}

// Delivery is spools that came in together; their costs sum to cost and freight.
type Delivery struct {
	Code          string
	Cost, Freight money.Minor
	PostedAt      time.Time
	Person        string
}
