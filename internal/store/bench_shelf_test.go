package store_test

import (
	"testing"

	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

// What to weigh today reads the whole ledger once: its measure is a plain sum over the same movements.
func BenchmarkWatches(b *testing.B) {
	db := stocked(b, 2_400, 200_000)
	b.ResetTimer()
	ratio(b, func() {
		read(b, db, func(r workshop.Reader) error {
			watches, err := r.Watches()
			if len(watches) != 2_400 {
				b.Fatalf("%d spools are watched", len(watches))
			}
			return err
		})
	}, func() {
		var sums []struct {
			Spool stock.SpoolCode
			Mass  int64
		}
		if err := db.RawReader().Raw("SELECT spool, sum(mass) AS mass FROM movements GROUP BY spool").Scan(&sums).Error; err != nil {
			b.Fatal(err)
		}
	})
}
