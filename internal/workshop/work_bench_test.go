package workshop_test

import (
	"fmt"
	"testing"
	"time"

	"windingroom/internal/order"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// A shop with 200 open orders confirms another one; beside it, in the same run, a transaction that only records one line: the
// floor of everything that is durable. The ratio is what matters.
func BenchmarkConfirmOrder(b *testing.B) {
	w := newWinders(b)
	for i := range 200 {
		w.add(order.Code(fmt.Sprintf("B-%d", i)), 6, 6, w.day+5)
	}
	ctx := w.as(workshop.Lead)
	var floor, spent time.Duration
	n := 0
	for b.Loop() {
		n++
		code := order.Code(fmt.Sprintf("N-%d", n))
		if _, err := w.AddOrder(ctx, testkit.ScarceOrder(code, 6, 6, w.day+5), false); err != nil {
			b.Fatal(err)
		}
		start := time.Now()
		if err := w.Store.InTx(ctx, func(tx workshop.Tx) error {
			return tx.Record(workshop.AuditEntry{At: start.UTC(), Person: "x", Action: "x"})
		}); err != nil {
			b.Fatal(err)
		}
		floor += time.Since(start)
		start = time.Now()
		if _, err := w.ConfirmOrder(ctx, code); err != nil {
			b.Fatal(err)
		}
		spent += time.Since(start)
	}
	b.ReportMetric(float64(spent)/float64(floor), "x-one-line")
	b.ReportMetric(0, "ns/op")
}
