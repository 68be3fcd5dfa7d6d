package store_test

import (
	"context"
	"path/filepath"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// onBoth runs a test on a fresh migrated SQLite database, and on a PostgreSQL one where there is a server.
func onBoth(t *testing.T, test func(t *testing.T, db *store.DB)) {
	t.Helper()
	t.Run("sqlite", func(t *testing.T) { test(t, migrated(t, sqliteAddress(t))) })
	t.Run("postgres", func(t *testing.T) { test(t, migrated(t, testkit.Postgres(t))) })
}

func sqliteAddress(t testing.TB) string { return "sqlite:" + filepath.Join(t.TempDir(), "shop.db") }

func opened(t testing.TB, address string) *store.DB {
	t.Helper()
	db, err := store.Open(t.Context(), address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	})
	return db
}

func migrated(t testing.TB, address string) *store.DB {
	t.Helper()
	db := opened(t, address)
	if _, _, err := db.Migrate(t.Context()); err != nil {
		t.Fatal(err)
	}
	return db
}

// write and read run fn and fail the test where it fails.
func write(t testing.TB, db *store.DB, fn func(workshop.Tx) error) {
	t.Helper()
	if err := db.InTx(context.Background(), fn); err != nil {
		t.Fatal(err)
	}
}

func read(t testing.TB, db *store.DB, fn func(workshop.Reader) error) {
	t.Helper()
	if err := db.Read(context.Background(), fn); err != nil {
		t.Fatal(err)
	}
}

// answered gives what one question of a Reader answers.
func answered[T any](t testing.TB, db *store.DB, ask func(workshop.Reader) (T, error)) T {
	t.Helper()
	var answer T
	read(t, db, func(r workshop.Reader) (err error) {
		answer, err = ask(r)
		return err
	})
	return answer
}

// raw runs SQL past the store, as someone with a database shell would.
func raw(t testing.TB, db *store.DB, statements ...string) {
	t.Helper()
	for _, s := range statements {
		if err := db.Raw().Exec(s).Error; err != nil {
			t.Fatalf("%s: %v", s, err)
		}
	}
}

// A small fictional shop.
var (
	monday = calendar.NewDate(2026, time.March, 2)
	noon   = time.Date(2026, time.March, 2, 12, 0, 0, 123456000, time.UTC)

	suppliers = []catalog.Supplier{{Code: "Hollin", Name: "Hollin Wire", LeadDays: 21, LeadDaysSD: 4.5, OrderMinimum: 15000, OrderCost: 1800, Freight: 1250, FreightPerKg: 95}}
	alloys    = []material.Alloy{
		{Code: "trial-90", Name: "trial wrap", Density: 8940, Ferromagnetic: material.None, Wrap: true, Nickel: material.Yes, Tarnishes: material.Later, Source: "mill sheet"},
		{Code: "trial-core", Name: "trial core", Density: 7850.5, Ferromagnetic: material.Strong, Core: true, Strength: material.ASTMA228},
	}
	wires = []material.Wire{
		{Code: "C-H-16", Alloy: "music-wire", Form: material.Form{Section: material.Hex, Size: 406400, Across: material.AcrossCorners}, UsableEnd: 1000, Pack: 250000, PricePerKg: 7400},
		{Code: "W-R-12", Alloy: "trial-90", Form: material.Form{Section: material.Round, Size: 304800}, UsableEnd: 2000, Supplier: "Hollin", Pack: 500000, PricePerKg: 5650},
		{Code: "W-X-40", Alloy: "trial-90", Form: material.Form{Section: material.Flat, Size: 1016000, Thickness: 254000}},
	}
	recipes = []catalog.Recipe{
		{Code: "P-16", Gauge: 406400, Core: "C-H-16", Yield: 1, MinutesEach: 27 * time.Second},
		{Code: "W-40", Gauge: 1016000, Core: "C-H-16", Wraps: []catalog.Wrap{{Wire: "W-R-12"}, {Wire: "W-X-40", Lay: 1100000}}, BallEnd: true, Yield: 0.975, MinutesEach: 90 * time.Second},
	}
	sets     = []catalog.Set{{Code: "Harbour-2", Positions: []catalog.Position{{Number: 1, Recipe: "P-16", Scale: 647700000, Pitch: "E4"}, {Number: 2, Recipe: "W-40", Scale: 647700000, Pitch: "110"}}}}
	machines = []catalog.Machine{
		{Code: "bench-1", Winds: catalog.WindsBoth, Longest: 950 * measure.Millimetre, PerDay: 450 * time.Minute},
		{Code: "bench-2", Winds: catalog.WindsWound, Longest: 930 * measure.Millimetre, PerDay: 480 * time.Minute, Shifts: "0:00-4:00;4:30-8:30"},
	}
	orders = []order.Order{
		{Code: "O-1", OrderedOn: monday - 20, DueOn: monday + 4, Customer: "Low Ferry Workshop", Status: order.Confirmed, Lines: []order.Line{
			{Number: 1, Set: "Harbour-2", Quantity: 5, Strings: []order.String{{Position: 1, Recipe: "P-16", Scale: 647700000, Pitch: "E4"}, {Position: 2, Recipe: "W-40", Scale: 647700000, Pitch: "110"}}},
			{Number: 2, Quantity: 1, Strings: []order.String{{Position: 1, Recipe: "W-40", Scale: 660400000, Pitch: "A2"}}},
		}},
		{Code: "O-2", OrderedOn: monday - 10, DueOn: monday + 1, Customer: "Ada Quill", Status: order.Draft, Lines: []order.Line{
			{Number: 1, Quantity: 2, Strings: []order.String{{Position: 1, Recipe: "P-16", Scale: 647700000, Pitch: "E4"}}},
		}},
	}
	spools = []stock.Spool{
		{Code: "S-1", Wire: "C-H-16", Lot: "L1", ReceivedOn: monday - 30, Gross: 1200000, Tare: 200000, Cost: 7401, Location: "rack A1"},
		{Code: "S-2", Wire: "W-R-12", Lot: "L2", ReceivedOn: monday - 30, Gross: 700000, Tare: 200000, Cost: 2825},
		{Code: "S-3", Wire: "W-X-40", Lot: "L3", ReceivedOn: monday - 29, Gross: 400000, Tare: 100000, Cost: 0},
	}
)

// receipts gives the movements that put the spools on the books.
func receipts(spools []stock.Spool) []stock.Movement {
	var moves []stock.Movement
	for _, s := range spools {
		moves = append(moves, stock.Movement{Spool: s.Code, Kind: stock.Receipt, Mass: s.Net(), Cost: s.Cost, EffectiveOn: s.ReceivedOn,
			PostedAt: noon, Person: "ines", Reason: "received", Source: "import", Key: "receipt " + string(s.Code)})
	}
	return moves
}

// fill puts the shop into a database.
func fill(t testing.TB, db *store.DB) {
	t.Helper()
	write(t, db, func(tx workshop.Tx) error {
		for _, save := range []func() error{
			func() error { return tx.SaveSuppliers(suppliers) },
			func() error { return tx.SaveAlloys(alloys) },
			func() error { return tx.SaveWires(wires) },
			func() error { return tx.SaveRecipes(recipes) },
			func() error { return tx.SaveSets(sets) },
			func() error { return tx.SaveMachines(machines) },
			func() error { return tx.AddOrders(orders) },
			func() error { return tx.AddSpools(spools) },
			func() error { _, err := tx.Post(receipts(spools)); return err },
		} {
			if err := save(); err != nil {
				return err
			}
		}
		return nil
	})
}

// proposal is a plan of the shop's Monday with everything a plan may hold.
func proposal() workshop.DayPlan {
	after := planning.Loaded{Core: planning.Place{Wire: "C-H-16", Spool: "S-1"}, Scale: 647700000}
	after.Wraps[0] = planning.Place{Wire: "W-R-12", Spool: "S-2"}
	after.Wraps[1] = planning.Place{Wire: "W-X-40", Spool: "S-3"}
	return workshop.DayPlan{ProposedAt: noon, Plan: planning.Plan{
		Date: monday,
		Machines: []planning.MachineDay{
			{Machine: "bench-1", After: after, Batches: []batch.Batch{
				{Code: "B1", Date: monday, Machine: "bench-1", Sequence: 1, Status: batch.Proposed, Recipe: "P-16", Scale: 647700000,
					Ordered: 5, ToWind: 5, Setup: 8 * time.Minute, Run: 135 * time.Second, Ends: 615 * time.Second,
					Draws:  []batch.Draw{{Spool: "S-1", Wire: "C-H-16", Strings: 5, Mass: 5001}},
					Serves: []batch.Serve{{Order: "O-1", Line: 1, Position: 1, Strings: 5}}},
				{Code: "B2", Date: monday, Machine: "bench-1", Sequence: 2, Status: batch.Proposed, Recipe: "W-40", Scale: 647700000,
					Ordered: 5, ToWind: 6, Setup: 8 * time.Minute, Run: 540 * time.Second, Starts: 615 * time.Second, Ends: 1635 * time.Second,
					Draws: []batch.Draw{{Spool: "S-1", Wire: "C-H-16", Strings: 6, Mass: 6000}, {Spool: "S-2", Wire: "W-R-12", Strings: 6, Mass: 18000},
						{Spool: "S-3", Wire: "W-X-40", Strings: 6, Mass: 24000}},
					Serves: []batch.Serve{{Order: "O-1", Line: 1, Position: 2, Strings: 5}}},
			}},
			{Machine: "bench-2"},
		},
		NotPlanned: []planning.NotPlanned{{Order: "O-1", Line: 2, Position: 1, Strings: 1, Why: planning.ForTime, Detail: "no machine has 12 minutes left"}},
		Setup:      16 * time.Minute, SetupBound: 14 * time.Minute,
		Late: []order.Code{"O-2", "O-1"},
	}}
}

// release saves and releases the proposal and allocates its wire, as the use case does.
func release(t testing.TB, db *store.DB) {
	t.Helper()
	write(t, db, func(tx workshop.Tx) error {
		p := proposal()
		if err := tx.SavePlan(p); err != nil {
			return err
		}
		for _, m := range p.Machines {
			for _, b := range m.Batches {
				for _, d := range b.Draws {
					if err := tx.Allocate(d.Spool, d.Mass); err != nil {
						return err
					}
				}
			}
		}
		return tx.Release(monday, "ines", noon)
	})
}
