package exports

import (
	"bytes"
	"slices"
	"testing"

	"github.com/xuri/excelize/v2"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// recalled is a lot of two spools whose strings went to an order with a name that looks like a formula, and to finished stock.
func recalled() workshop.LotTrace {
	wound := calendar.NewDate(2026, 3, 2)
	str := workshop.TracedString{
		Recipe: "W-42.5", Scale: 25*measure.Inch + measure.Inch/2, Batch: "B260302-01", Result: 1, WoundOn: wound, Person: "Ines", Machine: "bench-1",
		Spool: "S-5", Wire: "PB-11.5", Lot: "=L5", Supplier: "mill", ReceivedOn: wound - 50, SpoolTook: 3, Each: 3_346_204_111, Drawn: 10_039,
	}
	stock, order := str, str
	stock.Strings = 1
	order.Order, order.Customer, order.DueOn, order.Status = "O-1", `=HYPERLINK("x")`, wound+1, "shipped"
	order.Line, order.Position, order.Strings = 1, 2, 4
	second := order
	second.Spool, second.SpoolTook, second.Drawn = "S-6", 2, 6_692
	return workshop.LotTrace{
		Shop: "Test Strings", Lot: "=L5",
		Spools: []workshop.TracedSpool{
			{Spool: "S-5", Wire: "PB-11.5", Lot: "=L5", Supplier: "mill", ReceivedOn: wound - 50, Received: 40_000, OnHand: 29_961, Drawn: 10_039},
			{Spool: "S-6", Wire: "PB-11.5", Lot: "=L5", Supplier: "mill", ReceivedOn: wound - 50, Received: 75_000, OnHand: 68_308, Drawn: 6_692},
		},
		Batches: []workshop.TracedBatch{{Batch: "B260302-01", Date: wound, Machine: "bench-1", Status: "finished", Recipe: "W-42.5", Scale: str.Scale, Drawn: 16_731}},
		Strings: []workshop.TracedString{stock, order, second},
	}
}

func recallBook(t testing.TB, trace workshop.LotTrace) *excelize.File {
	t.Helper()
	var out bytes.Buffer
	if err := RecallList(&out, trace); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(&out)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	return f
}

func TestRecallList(t *testing.T) {
	testkit.Golden(t, "testdata/recall.txt", dump(t, recallBook(t, recalled())))
}

// A string that may be from either of two spools is one string: of four, three or two may be from one of them, and all from both.
func TestRecallListCountsAStringOnce(t *testing.T) {
	rows := table(t, recallBook(t, recalled()), recallOrdersName)
	want := [][]string{{"(finished stock)", "1", "3.346"}, {"O-1", "4", "13.385"}}
	for i, w := range want {
		if got := []string{rows[i+1][0], rows[i+1][4], rows[i+1][5]}; !slices.Equal(got, w) {
			t.Errorf("row %d is %q, want %q", i+1, got, w)
		}
	}
}

func TestRecallListOfALotNothingWasWoundFrom(t *testing.T) {
	trace := recalled()
	trace.Strings, trace.Batches = nil, nil
	f := recallBook(t, trace)
	if rows := table(t, f, recallOrdersName); len(rows) != 1 {
		t.Errorf("orders %q", rows)
	}
	if rows := table(t, f, recallSpoolsName); len(rows) != 3 {
		t.Errorf("spools %q", rows)
	}
}
