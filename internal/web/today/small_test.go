package today_test

import (
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// smallShop has two machines, six spools, and two orders of plain and wound strings.
func smallShop(t testing.TB) *workshop.Shop {
	t.Helper()
	shop := testkit.Shop(t)
	if _, err := shop.Import(testkit.As(t.Context(), workshop.Owner), testkit.ScarceShop, false); err != nil {
		t.Fatal(err)
	}
	for code, strings := range map[string][2]int{"O-1": {8, 3}, "O-2": {4, 2}} {
		form := testkit.ScarceOrder("", strings[0], strings[1], testkit.Day(t)+2)
		form.Order = code
		if _, err := shop.AddOrder(testkit.As(t.Context(), workshop.Lead), form, true); err != nil {
			t.Fatal(err)
		}
	}
	return shop
}

// released is smallShop with its day released.
func released(t testing.TB) *workshop.Shop {
	t.Helper()
	shop := smallShop(t)
	lead := testkit.As(t.Context(), workshop.Lead)
	if _, err := shop.ProposeDay(lead, testkit.Day(t)); err != nil {
		t.Fatal(err)
	}
	if _, err := shop.ReleaseDay(lead, testkit.Day(t)); err != nil {
		t.Fatal(err)
	}
	return shop
}
