package intake_test

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

func TestFactsOfAFolder(t *testing.T) {
	got := mustRead(t, shop, newShop())
	practice := catalog.DefaultPractice()
	practice.Currency, practice.Tail, practice.WasteTurns = "EUR", 150*measure.Millimetre, 6.5
	received := calendar.NewDate(2026, 2, 2)
	p10 := order.String{Position: 1, Recipe: "P-10", Scale: 647_700 * measure.Micrometre, Pitch: "E4"}
	pb30 := order.String{Position: 2, Recipe: "PB-30", Scale: 647_700 * measure.Micrometre, Pitch: "110"}
	november := func(day int) calendar.Date { return calendar.NewDate(2025, 11, day) }
	want := intake.Facts{
		Practice: &practice,
		Alloys: []material.Alloy{{Code: "trial-alloy", Name: "Trial, first melt", Density: 8940, Ferromagnetic: material.None,
			Wrap: true, Source: "mill sheet"}},
		Wires: []material.Wire{
			{Code: "MW-R-10", Alloy: "music-wire", Form: material.Form{Section: material.Round, Size: 254 * measure.Micrometre},
				UsableEnd: 1500, Supplier: "north", Pack: 500_000, PricePerKg: 5650},
			{Code: "MW-H-14", Alloy: "music-wire", Form: material.Form{Section: material.Hex, Size: 14 * measure.Thou, Across: material.AcrossCorners},
				UsableEnd: 2500, Supplier: "north", Pack: 500_000, PricePerKg: 4800},
			{Code: "PB-R-8", Alloy: "phosphor-bronze-8", Form: material.Form{Section: material.Round, Size: 8 * measure.Thou},
				UsableEnd: 1000, Supplier: "north", Pack: 1_000_000, PricePerKg: 6125},
			{Code: "SS-F-24", Alloy: "stainless-430", Form: material.Form{Section: material.Flat, Size: 24 * measure.Thou, Thickness: 5 * measure.Thou},
				UsableEnd: 1000},
		},
		Suppliers: []catalog.Supplier{{Code: "north", Name: "North Ferry Wire", LeadDays: 21, LeadDaysSD: 4.5, OrderMinimum: 15000, OrderCost: 1800}},
		Recipes: []catalog.Recipe{
			{Code: "P-10", Gauge: 254 * measure.Micrometre, Core: "MW-R-10", BallEnd: true, Yield: 0.98, MinutesEach: 21 * time.Second},
			{Code: "PB-30", Gauge: 30 * measure.Thou, Core: "MW-H-14", Wraps: []catalog.Wrap{{Wire: "PB-R-8", Lay: 9 * measure.Thou}},
				BallEnd: true, Yield: 0.97, MinutesEach: 90 * time.Second},
			{Code: "SF-40", Gauge: 40 * measure.Thou, Core: "MW-H-14", Wraps: []catalog.Wrap{{Wire: "PB-R-8"}, {Wire: "SS-F-24"}},
				Yield: 0.95, MinutesEach: 2 * time.Minute},
		},
		Sets: []catalog.Set{{Code: "duo", Positions: []catalog.Position{
			{Number: 1, Recipe: p10.Recipe, Scale: p10.Scale, Pitch: p10.Pitch},
			{Number: 2, Recipe: pb30.Recipe, Scale: pb30.Scale, Pitch: pb30.Pitch},
		}}},
		Machines: []catalog.Machine{{Code: "bench", Winds: catalog.WindsBoth, Longest: 950 * measure.Millimetre, PerDay: 450 * time.Minute}},
		Orders: []order.Order{
			{Code: "O-1", OrderedOn: calendar.NewDate(2026, 2, 20), DueOn: calendar.NewDate(2026, 3, 6), Customer: "Low Ferry, Workshop",
				Status: order.Confirmed, Lines: []order.Line{
					{Number: 1, Set: "duo", Quantity: 3, Strings: []order.String{p10, pb30}},
					{Number: 2, Quantity: 2, Strings: []order.String{
						{Position: 1, Recipe: "P-10", Scale: 628_650 * measure.Micrometre, Pitch: "Eb4"},
						{Position: 2, Recipe: "SF-40", Scale: 628_650 * measure.Micrometre, Pitch: "F#2"},
					}},
				}},
			{Code: "O-2", OrderedOn: calendar.NewDate(2026, 2, 23), DueOn: calendar.NewDate(2026, 2, 23), Customer: "Hobb Lane School",
				Status: order.Confirmed, Lines: []order.Line{{Number: 1, Set: "duo", Quantity: 1, Strings: []order.String{p10, pb30}}}},
		},
		Spools: []stock.Spool{
			{Code: "S1", Wire: "MW-R-10", Lot: "L-77", ReceivedOn: received, Gross: 680_500, Tare: 180_000, Cost: 2530, Location: "rack A1"},
			{Code: "S2", Wire: "MW-H-14", Lot: "L-78", ReceivedOn: received, Gross: 655_000, Tare: 180_000, Cost: 2280},
		},
		Usage: []stock.Usage{
			{On: november(3), Wire: "MW-R-10", Mass: 12_500, Order: "O-0", Nth: 1},
			{On: november(3), Wire: "MW-R-10", Mass: 12_500, Order: "O-0", Nth: 2},
			{On: november(4), Wire: "PB-R-8", Mass: 40_000, Nth: 1},
		},
		Counts: []intake.Count{
			{File: "alloys.csv", Added: 1}, {File: "wires.csv", Added: 4}, {File: "suppliers.csv", Added: 1}, {File: "spools.csv", Added: 2},
			{File: "recipes.csv", Added: 3}, {File: "sets.csv", Added: 1}, {File: "orders.csv", Added: 2}, {File: "machines.csv", Added: 1},
			{File: "usage.csv", Added: 3}, {File: "practice.csv", Changed: 3, Unchanged: 1},
		},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got\n%+v\nwant\n%+v", got, want)
	}
	if n := got.Changes(); n != 21 {
		t.Errorf("%d changes, want 21", n)
	}
}

// TestTextThatIsRead has texts that other programs write and that mean the same.
func TestTextThatIsRead(t *testing.T) {
	plain := mustRead(t, shop, newShop())
	tests := []struct {
		name, file, old, new string
	}{
		{"byte-order mark", "machines.csv", "machine,", "\ufeffmachine,"},
		{"byte-order mark before a quote", "machines.csv", "machine,", "\ufeff\"machine\","},
		{"columns in another order", "machines.csv", "", "minutes_per_day,machine,longest_mm,winds\n450,bench,950,both\n"},
		{"capitals in the header", "machines.csv", "machine,winds", " Machine ,WINDS"},
		{"no line end at the end", "machines.csv", "950,450\n", "950,450"},
		{"empty lines and rows at the end", "machines.csv", "950,450\n", "950,450\n\n,,,\n \n\r\n"},
		{"carriage returns", "suppliers.csv", "", strings.ReplaceAll(shop["suppliers.csv"], "\n", "\r\n")},
		{"everything quoted", "machines.csv", "bench,both,950,450", `"bench","both","950","450"`},
		{"blanks around fields", "machines.csv", "bench,both,950,450", " bench , both, 950 ,450\t"},
		{"trailing zeros", "machines.csv", "950,450", "950.000,450.0"},
		{"true and false", "recipes.csv", "no,0.95,2", "FALSE,0.95,2"},
		{"one and zero", "alloys.csv", "8940,no,no,yes", "8940,no,0,1"},
		{"plain no of magnetism", "alloys.csv", "8940,no,no,yes", "8940,false,no,yes"},
		{"currency in small letters", "practice.csv", "EUR", "eur"},
		{"round wire across flats", "wires.csv", "0.5,56.50,", "0.5,56.50,flats"},
		{"references in other cases", "recipes.csv", "P-10,10,MW-R-10", "P-10,10,mw-r-10"},
		{"rows of a set apart", "sets.csv", "", "set,position,recipe,scale_in,pitch\nduo,2,PB-30,25.5,110\nDuo,1,P-10,25.5,E4\n"},
		{"usage in another order", "usage.csv", "", "used_on,wire,mass_g,order\n2025-11-04,PB-R-8,40.0,\n" +
			"2025-11-03,mw-r-10,12.5,O-0\n2025-11-03,MW-R-10,12.500,o-0\n"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := mustRead(t, shop.with(t, test.file, test.old, test.new), newShop()); !reflect.DeepEqual(got, plain) {
				t.Errorf("got\n%+v\nwant\n%+v", got, plain)
			}
		})
	}
}

func TestWiresWithoutTheColumnAcross(t *testing.T) {
	wires := strings.ReplaceAll(shop["wires.csv"], ",across", "")
	wires = strings.ReplaceAll(strings.ReplaceAll(wires, ",corners\n", "\n"), ",\n", "\n")
	got := mustRead(t, shop.with(t, "wires.csv", "", wires), newShop())
	if across := got.Wires[1].Form.Across; across != material.AcrossFlats {
		t.Errorf("hex wire is measured across %q, want flats", across)
	}
}

func TestTextThatStaysText(t *testing.T) {
	f := shop.with(t, "orders.csv", "Hobb Lane School", "\"+Håkon's \"\"Lutes\"\"\nunder the arch\"")
	got := mustRead(t, f, newShop())
	if want := "+Håkon's \"Lutes\"\nunder the arch"; got.Orders[1].Customer != want {
		t.Errorf("customer %q, want %q", got.Orders[1].Customer, want)
	}
}

func TestMagnetismInOtherWords(t *testing.T) {
	for word, want := range map[string]material.Magnetism{"strong": "strong", "Weak": "weak", "varies": "varies", "NO": "no",
		"yes": "strong", "true": "strong", "1": "strong", "false": "no", "0": "no", "none": "no"} {
		got := mustRead(t, shop.with(t, "alloys.csv", "8940,no", "8940,"+word), newShop())
		if got.Alloys[0].Ferromagnetic != want {
			t.Errorf("%s is read as %s, want %s", word, got.Alloys[0].Ferromagnetic, want)
		}
	}
}

func TestOnlyAHeader(t *testing.T) {
	got := mustRead(t, folder{"machines.csv": "machine,winds,longest_mm,minutes_per_day\n"}, newShop())
	if want := []intake.Count{{File: "machines.csv"}}; !reflect.DeepEqual(got.Counts, want) || got.Changes() != 0 {
		t.Errorf("counts %v, want %v", got.Counts, want)
	}
}
