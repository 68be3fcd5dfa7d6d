// Package order holds customers' orders and their life. An order's strings are spelled out when it arrives, so that a later
// change of a standing set does not change what a customer ordered.
package order

import (
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
)

// Code names an order.
type Code string

// Status is where an order stands.
type Status string

// The life of an order. Cancelled may follow any state before shipped.
const (
	Draft     Status = "draft"
	Confirmed Status = "confirmed"
	Planned   Status = "planned"
	Wound     Status = "wound"
	Packed    Status = "packed"
	Shipped   Status = "shipped"
	Cancelled Status = "cancelled"
)

// String is one string position of an order line.
type String struct {
	Position int
	Recipe   catalog.RecipeCode
	Scale    measure.Size
	Pitch    string
}

// Line is a number of equal sets: a standing set, or a custom one.
type Line struct {
	Number   int
	Set      catalog.SetCode // empty for a custom set
	Quantity int             // sets
	Strings  []String        // by Position
}

// Order is what a customer asked for.
type Order struct {
	Code      Code
	OrderedOn calendar.Date
	DueOn     calendar.Date
	Customer  string
	Status    Status
	Short     string // why it was packed or shipped with strings missing; empty where none are

	PromisedOn calendar.Date // the day the shop promised to have it wound; zero where it promised none

	Lines []Line // by Number
}

// Open says whether the order still wants winding.
func (o Order) Open() bool { return o.Status == Confirmed || o.Status == Planned }

// HeldTo gives the day that plans hold the order to: the one it is due on, or a later one that the shop promised.
func (o Order) HeldTo() calendar.Date { return max(o.DueOn, o.PromisedOn) }

// StringCount gives the strings of the whole order.
func (o Order) StringCount() int {
	n := 0
	for _, l := range o.Lines {
		n += l.Quantity * len(l.Strings)
	}
	return n
}

// String finds one string position of one line.
func (o Order) String(line, position int) (String, bool) {
	for _, l := range o.Lines {
		if l.Number != line {
			continue
		}
		for _, s := range l.Strings {
			if s.Position == position {
				return s, true
			}
		}
	}
	return String{}, false
}

// Quantity gives the sets of one line, none where there is no such line.
func (o Order) Quantity(line int) int {
	for _, l := range o.Lines {
		if l.Number == line {
			return l.Quantity
		}
	}
	return 0
}
