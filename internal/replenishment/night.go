package replenishment

import (
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// Policy is how the shop buys.
type Policy struct {
	Service   float64     // confidence aimed at that a wire lasts until a purchase arrives
	Receiving int         // days from delivery to the shelf
	Holding   float64     // yearly cost of holding wire, as a share of its price
	LineCost  money.Minor // what one more line in a purchase costs the shop
	Watch     int         // a wire is watched that many days before it must be ordered
}

// DefaultPolicy gives the settings a new shop starts with: common practice, no source; a shop sets its own.
func DefaultPolicy() Policy {
	return Policy{Service: .95, Receiving: 1, Holding: .20, Watch: 14}
}

// Wire is a stocked wire and what the shop wants of it.
type Wire struct {
	material.Wire
	Minimum      measure.Mass // the shop's own, for a wire that was never used; zero where it named none
	LargestBatch measure.Mass // of one batch of the largest standing set that uses it, which stands in for the minimum
	Breaks       []Break
}

// Input is everything a night needs to know.
type Input struct {
	Today      calendar.Date
	Wires      []Wire
	Suppliers  []catalog.Supplier
	Spools     []stock.Balance // on hand and allocated
	Receipts   []Receipt       // of purchases sent, still to come
	Booked     []Need          // by open orders, beyond what is allocated
	Usage      []stock.Usage   // what was drawn; today and after do not count
	Gaps       []Gap           // days out of stock
	Deliveries []Delivery      // from which lead times are learned
	Notices    []Notice        // of past order lines
	Yesterday  []WireNight     // the answers before, so that changes are named; none for a first night
	Policy     Policy
}

// Result is what a night finds: all wires and the purchases to make, by code.
type Result struct {
	Wires     []WireNight
	Purchases []Purchase
}

// WireNight is what a night finds of one wire.
type WireNight struct {
	Wire      material.WireCode
	OnHand    measure.Mass // usable: without remnants and quarantined spools
	Allocated measure.Mass // of it
	OnOrder   measure.Mass // still to come, past due or not
	Booked    measure.Mass // by open orders, beyond what is allocated

	WeeklyUsage measure.Mass // expected
	Pattern     Pattern      // of use by week
	Class       Class
	Method      Method
	Protection  int          // days until a purchase placed at the next check is on the shelf
	Available   measure.Mass // what is left then of what is known: on hand − allocated + on order − booked
	OrderPoint  measure.Mass // for demand not yet booked: ordered below it
	Confidence  float64      // that the order point lasts, as far as trials with so much history reached; 0 where nothing is known

	RunOut     calendar.Date // with expected use; no date where the wire lasts a year
	RunOutSoon calendar.Date // the earliest to reckon with, at that confidence
	RunOutLate calendar.Date // the latest
	Balance    []Point       // projected, by week over a quarter and on each day on which something known happens

	Alert     Level
	OrderBy   calendar.Date // last day to order; one before today is past due
	Suggest   measure.Mass  // to buy now, in whole packs
	AtRisk    []order.Code  // orders it does not reach to on their day
	Overdue   []Receipt     // to be expedited
	Fading    bool          // goes out of use
	Dead      bool          // on hand, nothing booked, not used for a year
	OverCover measure.Mass  // more than a year's use and all that is booked
	Why       string        // one sentence a person can check
	Changed   string        // since yesterday; empty where nothing did
}

// Point is the projected balance at the end of a day, with its band.
type Point struct {
	On                  calendar.Date
	Expected, Low, High measure.Mass
}

// Purchase is what to order from one supplier.
type Purchase struct {
	Supplier     string
	OrderBy      calendar.Date // the earliest of its lines
	Lines        []Line        // by wire
	Total        money.Minor
	BelowMinimum bool // of the supplier: nothing it sells us is worth adding
}

// Line is one wire of a purchase.
type Line struct {
	Wire  material.WireCode
	Packs int
	Mass  measure.Mass
	Cost  money.Minor
	Why   LineReason
}

// LineReason says why a wire is in a purchase.
type LineReason string

// The reasons.
const (
	MustOrder LineReason = "below its order point"
	CanOrder  LineReason = "due soon, ordered with the others"
	TopUp     LineReason = "to reach the supplier's minimum"
)
