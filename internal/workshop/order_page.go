package workshop

import (
	"context"
	"slices"

	"windingroom/internal/calendar"
	"windingroom/internal/order"
)

// OrderQuery asks for a page of the orders, those that are done with too: a shop of some years has tens of thousands.
type OrderQuery struct {
	Status         order.Status // empty: any
	Customer       string       // empty: any
	DueFrom, DueTo calendar.Date
	Words          []string // each stands in the code, the customer or the state, whatever its case
	Sort           OrderSort
	Down           bool // the last first
	Page, Size     int  // of Size orders each, from 1; a page that is not there is the nearest that is
}

// OrderSort is what a list of orders is sorted by; the code decides between equals.
type OrderSort string

// The ways to sort orders; the empty one is by due day.
const (
	ByDue      OrderSort = "due"
	ByCode     OrderSort = "order"
	ByCustomer OrderSort = "customer"
	ByStatus   OrderSort = "state" // from draft to cancelled
)

// OrderPage is a page of orders.
type OrderPage struct {
	Orders       []OrderStand
	Found, Total int      // that the query asks for, and at all
	Customers    []string // all of them, at most MostCustomers
}

// MostCustomers bounds the customers that a page of orders names to choose from; with more of them one types a name.
const MostCustomers = 200

// OrderPage gives a page of the orders with how those that are open stand. Everyone in the shop may see them.
func (s *Shop) OrderPage(ctx context.Context, q OrderQuery) (OrderPage, error) {
	var page OrderPage
	if _, err := allow(ctx, "seeing orders", Roles()...); err != nil {
		return page, err
	}
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		page = OrderPage{}
		var orders []order.Order
		if orders, page.Found, err = r.OrderPage(q); err != nil {
			return err
		}
		if page.Total, err = r.OrderCount(); err != nil {
			return err
		}
		if page.Customers, err = r.Customers(MostCustomers); err != nil {
			return err
		}
		page.Orders = make([]OrderStand, len(orders))
		for i, o := range orders {
			page.Orders[i].Order = o
		}
		if !slices.ContainsFunc(orders, order.Order.Open) {
			return nil
		}
		return s.stand(r, page.Orders)
	})
	return page, err
}
