package exports

import (
	"bytes"
	"testing"

	"github.com/xuri/excelize/v2"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/purchase"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

func TestPurchaseOrder(t *testing.T) {
	var out bytes.Buffer
	err := PurchaseOrder(&out, workshop.PurchaseStory{Shop: "Test & Strings", Currency: "EUR", From: catalog.Supplier{Code: "mill", Name: "=Mill"},
		Purchase: purchase.Purchase{Code: "P260302-1", OrderedOn: calendar.NewDate(2026, 3, 2), PromisedOn: calendar.NewDate(2026, 3, 16), Freight: 990, Note: "=1+1",
			Lines: []purchase.Line{{Wire: "MW-10", Packs: 2, Mass: 4_000_000, PricePerKg: 2800}, {Wire: "PB-11.5", Packs: 1, Mass: 250_000, PricePerKg: 4233}}}})
	if err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(&out)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	testkit.Golden(t, "testdata/purchase.txt", dump(t, f))
}
