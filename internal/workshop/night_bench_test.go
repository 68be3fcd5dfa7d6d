package workshop_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// BenchmarkRunNight checks 500 wires with three years of use. The ratio is the whole check to reading its use alone from the database.
func BenchmarkRunNight(b *testing.B) {
	shop, day := testkit.Shop(b), testkit.Day(b)
	ctx := testkit.As(b.Context(), workshop.Owner)
	if _, err := shop.Import(ctx, manyWires(500, 156), false); err != nil {
		b.Fatal(err)
	}
	load := func() {
		err := shop.Store.Read(ctx, func(r workshop.Reader) error {
			used, err := r.Used(day-1100, day)
			if err == nil && len(used) < 500*100 {
				err = fmt.Errorf("%d rows", len(used))
			}
			return err
		})
		if err != nil {
			b.Fatal(err)
		}
	}
	var loading, checking time.Duration
	for b.Loop() {
		start := time.Now()
		load()
		middle := time.Now()
		if _, err := shop.RunNight(ctx, day); err != nil {
			b.Fatal(err)
		}
		loading, checking = loading+middle.Sub(start), checking+time.Since(middle)
	}
	b.ReportMetric(float64(checking)/float64(loading), "check/load")
}

// manyWires is a shop of wires alone, each used in most weeks.
func manyWires(wires, weeks int) fstest.MapFS {
	var wire, spool, usage strings.Builder
	wire.WriteString("wire,alloy,section,size_thou,thickness_thou,usable_end_g,supplier,pack_kg,price_per_kg\n")
	spool.WriteString("spool,wire,lot,received_on,gross_g,tare_g,cost,location\n")
	usage.WriteString("used_on,wire,mass_g,order\n")
	dice := rand.New(rand.NewPCG(1, 2))
	first := time.Date(2026, time.March, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, -7*weeks)
	for w := range wires {
		fmt.Fprintf(&wire, "W-%d,music-wire,round,%d,,5,mill-%d,1,30.00\n", w, 8+w%40, w%20)
		fmt.Fprintf(&spool, "S-%d,W-%d,L1,2026-01-10,%d,200,15.00,\n", w, w, 700+dice.IntN(2000))
		for week := range weeks {
			if dice.IntN(4) > 0 {
				fmt.Fprintf(&usage, "%s,W-%d,%d,\n", first.AddDate(0, 0, 7*week).Format(time.DateOnly), w, 20+dice.IntN(200))
			}
		}
	}
	supplier := strings.Builder{}
	supplier.WriteString("supplier,name,lead_days,lead_days_sd,order_minimum,order_cost\n")
	for s := range 20 {
		fmt.Fprintf(&supplier, "mill-%d,Mill %d,%d,4,100.00,8.00\n", s, s, 14+s)
	}
	return fstest.MapFS{"wires.csv": {Data: []byte(wire.String())}, "spools.csv": {Data: []byte(spool.String())},
		"usage.csv": {Data: []byte(usage.String())}, "suppliers.csv": {Data: []byte(supplier.String())}}
}
