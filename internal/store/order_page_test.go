package store_test

import (
	"fmt"
	"slices"
	"testing"

	"windingroom/internal/order"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

func TestOrdersPageByPage(t *testing.T) {
	var many []order.Order
	for i, customer := range []string{"bo", "Ada", "50%_off", "ada", "Cy"} {
		o := orders[0]
		o.Code, o.Customer, o.DueOn = order.Code(fmt.Sprintf("N-%d", i)), customer, monday+100-3
		if i == 0 {
			o.DueOn = monday + 100
		}
		o.Status = []order.Status{order.Shipped, order.Draft}[i%2]
		many = append(many, o)
	}
	tests := []struct {
		name  string
		query workshop.OrderQuery
		found int
		want  []order.Code
	}{
		{"first page by due day", workshop.OrderQuery{Size: 2}, 5, []order.Code{"N-1", "N-2"}},
		{"last page", workshop.OrderQuery{Size: 2, Page: 3}, 5, []order.Code{"N-0"}},
		{"beyond the last", workshop.OrderQuery{Size: 2, Page: 9}, 5, []order.Code{"N-0"}},
		{"before the first", workshop.OrderQuery{Size: 2, Page: -4}, 5, []order.Code{"N-1", "N-2"}},
		{"by customer whatever the case", workshop.OrderQuery{Size: 9, Sort: workshop.ByCustomer}, 5, []order.Code{"N-2", "N-1", "N-3", "N-0", "N-4"}},
		{"backwards", workshop.OrderQuery{Size: 2, Sort: workshop.ByCode, Down: true}, 5, []order.Code{"N-4", "N-3"}},
		{"by state", workshop.OrderQuery{Size: 3, Sort: workshop.ByStatus}, 5, []order.Code{"N-1", "N-3", "N-0"}},
		{"of a state and a customer", workshop.OrderQuery{Size: 9, Status: order.Draft, Customer: "Ada"}, 1, []order.Code{"N-1"}},
		{"due by a day", workshop.OrderQuery{Size: 9, DueTo: monday + 97}, 4, []order.Code{"N-1", "N-2", "N-3", "N-4"}},
		{"due from a day", workshop.OrderQuery{Size: 9, DueFrom: monday + 98}, 1, []order.Code{"N-0"}},
		{"words", workshop.OrderQuery{Size: 9, Words: []string{"ADA", "n-"}}, 2, []order.Code{"N-1", "N-3"}},
		{"signs are words", workshop.OrderQuery{Size: 9, Words: []string{"%_"}}, 1, []order.Code{"N-2"}},
		{"none", workshop.OrderQuery{Size: 9, Words: []string{"nobody"}}, 0, nil},
	}
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		write(t, db, func(tx workshop.Tx) error { return tx.AddOrders(many) })
		read(t, db, func(r workshop.Reader) error {
			all, err := r.OrderCount()
			if err != nil || all != len(many)+len(orders) {
				t.Errorf("%d orders, want %d: %v", all, len(many)+len(orders), err)
			}
			for _, tt := range tests {
				if len(tt.query.Words) == 0 && tt.query.Customer == "" { // leave fill's own away
					tt.query.Words = []string{"n-"}
				}
				list, found, err := r.OrderPage(tt.query)
				var codes []order.Code
				for _, o := range list {
					codes = append(codes, o.Code)
					if len(o.Lines) != len(orders[0].Lines) {
						t.Errorf("%s: order %s has %d lines", tt.name, o.Code, len(o.Lines))
					}
				}
				if err != nil || found != tt.found || !slices.Equal(codes, tt.want) {
					t.Errorf("%s: %v of %d, want %v of %d: %v", tt.name, codes, found, tt.want, tt.found, err)
				}
			}
			names, err := r.Customers(3)
			if err != nil || len(names) != 3 || names[0] != "50%_off" {
				t.Errorf("customers %q: %v", names, err)
			}
			return nil
		})
	})
}
