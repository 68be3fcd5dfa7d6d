package store_test

import (
	"context"
	"database/sql"
	"fmt"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

// many gives n spools of the three wires.
func many(n int) []stock.Spool {
	list := make([]stock.Spool, n)
	for i := range list {
		list[i] = stock.Spool{Code: stock.SpoolCode(fmt.Sprintf("M-%05d", i)), Wire: wires[i%3].Code, Lot: "L", ReceivedOn: monday - 400,
			Gross: 1_200_000, Tare: 200_000, Cost: 7400, Location: "rack"}
	}
	return list
}

// drawsOf gives n movements that draw on the spools in turn over a year, at exact cost.
func drawsOf(spools []stock.Spool, n int) []stock.Movement {
	moves := make([]stock.Movement, n)
	left := make([]stock.Balance, len(spools))
	for i, s := range spools {
		left[i] = stock.Balance{Spool: s, Mass: s.Net(), Value: s.Cost}
	}
	for i := range moves {
		b := &left[i*7%len(left)]
		cost := b.CostOf(-500)
		b.Mass, b.Value = b.Mass-500, b.Value+cost
		moves[i] = stock.Movement{Spool: b.Code, Kind: stock.Draw, Mass: -500, Cost: cost, EffectiveOn: monday - 365 + calendar.Date(i*365/n),
			PostedAt: noon, Person: "ines", Reason: "wound", Source: "batch B260302-01"}
	}
	return moves
}

// stocked gives a SQLite shop with so many spools and movements.
func stocked(tb testing.TB, nSpools, nMoves int) *store.DB {
	tb.Helper()
	db := migrated(tb, sqliteAddress(tb))
	fill(tb, db)
	list := many(nSpools)
	write(tb, db, func(tx workshop.Tx) error {
		if err := tx.AddSpools(list); err != nil {
			return err
		}
		if _, err := tx.Post(receipts(list)); err != nil {
			return err
		}
		_, err := tx.Post(drawsOf(list, nMoves))
		return err
	})
	return db
}

// ratio reports how long the store takes as a multiple of the plain way, both measured in turn in the same run.
func ratio(b *testing.B, ours, plain func()) { b.Helper(); ratioAfter(b, func() {}, ours, plain) }

// ratioAfter readies the ground, untimed, before each way.
func ratioAfter(b *testing.B, ready, ours, plain func()) {
	b.Helper()
	timed := func(do func()) time.Duration {
		ready()
		start := time.Now()
		do()
		return time.Since(start)
	}
	var oursTook, plainTook time.Duration
	for b.Loop() {
		oursTook += timed(ours)
		plainTook += timed(plain)
	}
	b.ReportMetric(float64(oursTook)/float64(plainTook), "x-raw")
	b.ReportMetric(float64(oursTook.Milliseconds())/float64(b.N), "ms")
}

func BenchmarkPost(b *testing.B) {
	for _, n := range []int{1, 10, 100_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			db := stocked(b, 2400, 0)
			pool, err := db.Raw().DB()
			if err != nil {
				b.Fatal(err)
			}
			next, moves := int64(10_000_000), drawsOf(many(2400), n)
			for i := range moves {
				moves[i].Mass, moves[i].Cost, moves[i].Kind = 0, 0, stock.WeighBack // so that it never runs dry
			}
			ratio(b, func() {
				write(b, db, func(tx workshop.Tx) error { _, err := tx.Post(moves); return err })
			}, func() { next = rawPost(b, pool, moves, next) })
		})
	}
}

// rawPost does by hand what any ledger must: insert the movement, move the balance, commit.
func rawPost(b *testing.B, pool *sql.DB, moves []stock.Movement, next int64) int64 {
	b.Helper()
	ctx := context.Background()
	must := func(err error) {
		if err != nil {
			b.Fatal(err)
		}
	}
	tx, err := pool.BeginTx(ctx, nil)
	must(err)
	must(tx.QueryRow("SELECT max(id) + 1 FROM movements").Scan(&next))
	insert, err := tx.Prepare("INSERT INTO movements (id, spool, kind, mass, cost, effective_on, effective_at, posted_at, person, reason, source) VALUES (?,?,?,?,?,?,?,?,?,?,?)")
	must(err)
	update, err := tx.Prepare("UPDATE spools SET mass = mass + ?, value = value + ? WHERE code = ?")
	must(err)
	for _, m := range moves {
		_, err := insert.Exec(next, string(m.Spool), string(m.Kind), int64(m.Mass), int64(m.Cost), m.EffectiveOn.String(), m.EffectiveAt, m.PostedAt, m.Person, m.Reason, m.Source)
		must(err)
		_, err = update.Exec(int64(m.Mass), int64(m.Cost), string(m.Spool))
		must(err)
		next++
	}
	must(insert.Close())
	must(update.Close())
	must(tx.Commit())
	return next
}

func BenchmarkSpools(b *testing.B) {
	db := stocked(b, 2400, 1_000_000)
	pool, err := db.RawReader().DB()
	if err != nil {
		b.Fatal(err)
	}
	ratio(b, func() {
		if n := len(answered(b, db, workshop.Reader.Spools)); n != 2403 {
			b.Fatal(n)
		}
	}, func() {
		rows, err := pool.Query(`SELECT s.code, s.wire, s.lot, s.received_on, s.gross, s.tare, s.cost, s.location, s.mass, s.value,
			s.allocated, w.usable_end FROM spools s JOIN wires w ON w.code = s.wire ORDER BY s.code`)
		if err != nil {
			b.Fatal(err)
		}
		defer rows.Close()
		var list []stock.Balance
		for rows.Next() {
			var s stock.Balance
			if err := rows.Scan(&s.Code, &s.Wire, &s.Lot, &s.ReceivedOn, &s.Gross, &s.Tare, &s.Cost, &s.Location, &s.Mass, &s.Value, &s.Allocated, &s.UsableEnd); err != nil {
				b.Fatal(err)
			}
			list = append(list, s)
		}
		if len(list) != 2403 {
			b.Fatal(len(list))
		}
	})
}

func BenchmarkSpoolsAt(b *testing.B) {
	db := stocked(b, 2400, 100_000)
	ratio(b, func() {
		answered(b, db, func(r workshop.Reader) ([]stock.Balance, error) { return r.SpoolsAt(monday - 100) })
	}, func() { scanLedger(b, db) })
}

// BenchmarkDiscrepancies checks a million movements; the plain way reads them all once.
func BenchmarkDiscrepancies(b *testing.B) {
	db := stocked(b, 2400, 1_000_000)
	ratio(b, func() {
		if found := answered(b, db, workshop.Reader.Discrepancies); len(found) > 0 {
			b.Fatal(found)
		}
	}, func() { scanLedger(b, db) })
}

func scanLedger(b *testing.B, db *store.DB) {
	b.Helper()
	var mass measure.Mass
	var cost money.Minor
	if err := db.RawReader().Raw("SELECT sum(mass), sum(cost) FROM movements").Row().Scan(&mass, &cost); err != nil {
		b.Fatal(err)
	}
}

func BenchmarkAddUsage(b *testing.B) {
	usage := make([]stock.Usage, 1_000_000)
	for i := range usage {
		usage[i] = stock.Usage{On: monday - 1000 + calendar.Date(i/1000), Wire: wires[i%3].Code, Mass: measure.Mass(i % 997), Order: "O", Nth: i}
	}
	db := migrated(b, sqliteAddress(b))
	fill(b, db)
	pool, err := db.Raw().DB()
	if err != nil {
		b.Fatal(err)
	}
	ratioAfter(b, func() { raw(b, db, "DELETE FROM usage") }, func() {
		write(b, db, func(tx workshop.Tx) error { return tx.AddUsage(usage) })
	}, func() {
		tx, err := pool.Begin()
		if err != nil {
			b.Fatal(err)
		}
		insert, err := tx.Prepare("INSERT INTO usage (wire, used_on, mass, order_code, nth) VALUES (?,?,?,?,?)")
		if err != nil {
			b.Fatal(err)
		}
		for _, u := range usage {
			if _, err := insert.Exec(string(u.Wire), u.On.String(), int64(u.Mass), u.Order, u.Nth); err != nil {
				b.Fatal(err)
			}
		}
		if err := tx.Commit(); err != nil {
			b.Fatal(err)
		}
	})
}

// BenchmarkClosedYear verifies a ledger of a million movements whose year is closed: each of its months is read again and hashed.
func BenchmarkClosedYear(b *testing.B) {
	db := stocked(b, 2400, 1_000_000)
	write(b, db, func(tx workshop.Tx) error {
		frozen, err := workshop.Replay(tx, period(b, "2025-01"), period(b, "2026-02"))
		if err != nil {
			return err
		}
		for _, f := range frozen {
			if err := tx.ClosePeriod(workshop.Period{Month: f.Month, ClosedAt: noon.Add(time.Second), ClosedBy: "bo", Hash: f.Hash, Figures: f.Figures}); err != nil {
				return err
			}
		}
		return nil
	})
	ratio(b, func() {
		if found := answered(b, db, workshop.Reader.Discrepancies); len(found) > 0 {
			b.Fatal(found)
		}
	}, func() { scanLedger(b, db) })
}
