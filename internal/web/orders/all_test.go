package orders_test

import (
	"fmt"
	"testing"

	"windingroom/internal/order"
	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/workshop"
)

// TestAllOrdersByPages leads through more orders than one page holds.
func TestAllOrdersByPages(t *testing.T) {
	shop := scarceShop(t)
	var many []order.Order
	for i := range 250 {
		many = append(many, order.Order{Code: order.Code(fmt.Sprintf("A-%03d", i)), OrderedOn: testkit.Day(t) - 90, DueOn: testkit.Day(t) - 60, Customer: fmt.Sprintf("Customer %d", i%210), Status: order.Shipped,
			Lines: []order.Line{{Number: 1, Quantity: 1, Strings: []order.String{{Position: 1, Recipe: "P-10", Scale: 635_000_000, Pitch: "E4"}}}}})
	}
	if err := shop.Store.InTx(testkit.As(t.Context(), workshop.Owner), func(tx workshop.Tx) error { return tx.AddOrders(many) }); err != nil {
		t.Fatal(err)
	}
	v := visit.Open(t, shop).As(t, workshop.Winder)
	v.Get("/orders?show=all").Wants(t, 200, []string{"1 to 100 of 250", `href="/orders?page=2&amp;show=all" rel="next"`, ">A-000<", `<option value="shipped">`}, []string{">A-100<", "Customer 0</option>"})
	v.Get("/orders?show=all&page=3&sort=order&dir=desc").Wants(t, 200, []string{"201 to 250 of 250", ">A-049<", `aria-sort="descending"`}, []string{">A-050<"})
	v.Get("/orders?show=all&customer=Customer+7").Wants(t, 200, []string{"2 of 250", ">A-007<", ">A-217<", `<option value="Customer 7" selected>`}, []string{">A-008<"})
	v.Get("/orders?show=all&q=a-24&due=past").Wants(t, 200, []string{"10 of 250", ">A-240<"}, []string{">A-239<"})
	v.Get("/orders?show=all&q=nobody").Wants(t, 200, []string{"Nothing fits this filter", "Show all 250"}, nil)
	v.Get("/orders?show=all&due=2026-01-01").Wants(t, 200, []string{">A-000<"}, nil)
	v.Get("/orders?show=all&state=draft&due=week").Wants(t, 200, []string{"Nothing fits this filter"}, nil)
}
