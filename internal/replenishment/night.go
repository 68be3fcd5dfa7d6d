package replenishment

import (
	"fmt"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

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
	Policy     catalog.Buying
	Currency   money.Currency // in which sentences name amounts
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
	OverCover measure.Mass  // on hand and to come beyond what the shop wants to hold: so many days of use, or all that is booked
	Why       string        // sentences that a person can check by hand
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
	Freight      money.Minor   // expected
	Total        money.Minor   // with freight
	BelowMinimum bool          // of the supplier, which counts the lines alone
	Note         string        // why it stays below the minimum, and what waiting means; empty where it does not
}

// Goods gives what the lines cost, without freight.
func (p Purchase) Goods() money.Minor { return p.Total - p.Freight }

// Line is one wire of a purchase.
type Line struct {
	Wire  material.WireCode
	Packs int
	Mass  measure.Mass
	Cost  money.Minor
	Why   LineReason
	Extra int  // packs of it that only bring the purchase to the supplier's minimum
	Break bool // more than is wanted, because a lower price begins there
}

// Reason says in words why the line is there and is so long.
func (l Line) Reason() string {
	text := string(l.Why)
	if l.Break {
		text += "; raised to a lower price"
	}
	if l.Extra > 0 && l.Why != TopUp {
		text += fmt.Sprintf("; %s of it to reach the supplier's minimum", plural(l.Extra, "pack", "packs"))
	}
	return text
}

// LineReason says why a wire is in a purchase.
type LineReason string

// The reasons.
const (
	MustOrder LineReason = "below its order point"
	CanOrder  LineReason = "due soon, ordered with the others"
	TopUp     LineReason = "to reach the supplier's minimum"
)
