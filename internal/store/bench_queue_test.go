package store_test

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

// spoolsOfAnOrder is how many spools an order's strings are allocated on: what a set of six and its wraps touch.
const spoolsOfAnOrder = 11

// BenchmarkAllocateAnOrder allocates the wire of orders, by one client and by 32 at once, as a ratio to the same guarded
// statements prepared by hand and run one order after the other, each with its commit. Beside both a reader lists all spools;
// its slowest hundredth beside ours is reported.
func BenchmarkAllocateAnOrder(b *testing.B) {
	for _, clients := range []int{1, 32} {
		b.Run(fmt.Sprint(clients, " clients"), func(b *testing.B) {
			db := stocked(b, 2400, 0)
			codes := make([]stock.SpoolCode, 2400)
			for i, s := range many(2400) {
				codes[i] = s.Code
			}
			order := func(n int) []stock.SpoolCode {
				at := n * spoolsOfAnOrder % (len(codes) - spoolsOfAnOrder)
				return codes[at : at+spoolsOfAnOrder]
			}
			const orders = 320
			var reads []time.Duration
			ratio(b, func() {
				reads = append(reads, whileReading(b, db, func() {
					var next atomic.Int64
					var group sync.WaitGroup
					for range clients {
						group.Go(func() {
							for n := int(next.Add(1)); n <= orders; n = int(next.Add(1)) {
								err := db.InTx(context.Background(), func(tx workshop.Tx) error {
									for _, code := range order(n) {
										if err := tx.Allocate(code, 1); err != nil {
											return err
										}
									}
									return nil
								})
								if err != nil {
									b.Error(err)
								}
							}
						})
					}
					group.Wait()
				})...)
			}, func() { whileReading(b, db, func() { allocateByHand(b, db, orders, order) }) })
			slices.Sort(reads)
			b.ReportMetric(float64(reads[len(reads)*99/100].Microseconds())/1000, "read-p99-ms")
		})
	}
}

// whileReading lists the spools over and over while do runs, and gives how long each list took.
func whileReading(b *testing.B, db *store.DB, do func()) []time.Duration {
	b.Helper()
	stop, took := make(chan struct{}), make(chan []time.Duration)
	go func() {
		var all []time.Duration
		for {
			start := time.Now()
			answered(b, db, workshop.Reader.Spools)
			all = append(all, time.Since(start))
			select {
			case <-stop:
				took <- all
				return
			case <-time.After(5 * time.Millisecond):
			}
		}
	}()
	do()
	close(stop)
	return <-took
}

func allocateByHand(b *testing.B, db *store.DB, orders int, order func(int) []stock.SpoolCode) {
	b.Helper()
	pool, err := db.Raw().DB()
	if err != nil {
		b.Fatal(err)
	}
	must := func(err error) {
		if err != nil {
			b.Fatal(err)
		}
	}
	conn, err := pool.Conn(context.Background())
	must(err)
	defer func() { must(conn.Close()) }()
	update, err := conn.PrepareContext(context.Background(),
		"UPDATE spools SET allocated = allocated + ? WHERE code = ? AND allocated + ? BETWEEN 0 AND mass")
	must(err)
	defer func() { must(update.Close()) }()
	for n := 1; n <= orders; n++ {
		tx, err := conn.BeginTx(context.Background(), nil)
		must(err)
		for _, code := range order(n) {
			result, err := tx.StmtContext(context.Background(), update).Exec(1, string(code), 1)
			must(err)
			if touched, err := result.RowsAffected(); err != nil || touched != 1 {
				b.Fatal(touched, err)
			}
		}
		must(tx.Commit())
	}
}
