package catalog

import "windingroom/internal/money"

// Buying is how the shop buys its wire.
type Buying struct {
	Service       float64     // confidence aimed at that a wire lasts until a purchase arrives
	ReviewDays    int         // from one check to the next
	ReceivingDays int         // from delivery to the shelf
	CarryingRate  float64     // yearly cost of holding wire, as a share of its price
	LineCost      money.Minor // what one more line in a purchase costs the shop
	WatchDays     int         // a wire is watched that many days before it must be ordered
	CoverDays     int         // no more is bought than is used in so many days, unless more is booked
}

// DefaultBuying gives the settings a new shop starts with. Common practice, no source; a shop sets its own.
func DefaultBuying() Buying {
	return Buying{Service: .95, ReviewDays: 1, ReceivingDays: 1, CarryingRate: .20, WatchDays: 14, CoverDays: 365}
}
