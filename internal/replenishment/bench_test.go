package replenishment

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// bigShop has 500 wires with three years of days, of 20 suppliers: used every second, third, eighth or 25th day on average.
func bigShop() Input {
	rng := rand.New(rand.NewPCG(5, 7))
	in := Input{Today: today, Policy: catalog.DefaultBuying()}
	for i := range 20 {
		in.Suppliers = append(in.Suppliers, catalog.Supplier{Code: fmt.Sprint("s", i), LeadDays: float64(10 + i), LeadDaysSD: 3, OrderMinimum: 150_00, OrderCost: 20_00})
	}
	for i := range 500 {
		w := round(material.WireCode(fmt.Sprintf("W-%03d", i)), measure.Size(8+i%40), fmt.Sprint("s", i%20))
		in.Wires = append(in.Wires, w)
		in.Spools = append(in.Spools, spool(w.Code, measure.Mass(rng.IntN(4000))*gram))
		for j := range 10 {
			in.Booked = append(in.Booked, Need{order.Code(fmt.Sprint("O-", i, j)), w.Code, today + calendar.Date(rng.IntN(40)), measure.Mass(rng.IntN(90)) * gram})
		}
		in.Receipts = append(in.Receipts, Receipt{fmt.Sprint("P-", i), w.Code, today + calendar.Date(rng.IntN(40)), 500 * gram})
	}
	for day := 1095; day > 0; day-- {
		for i, w := range in.Wires {
			if rng.IntN([]int{2, 3, 8, 25}[i%4]) == 0 {
				in.Usage = append(in.Usage, stock.Usage{On: today - calendar.Date(day), Wire: w.Code, Mass: measure.Mass(1+rng.IntN(90)) * gram})
			}
		}
	}
	for range 200 {
		in.Notices = append(in.Notices, Notice{rng.IntN(30), measure.Mass(rng.IntN(40)) * gram})
	}
	return in
}

// plainPass is the baseline: the same rows added up by wire, nothing decided.
func plainPass(in Input) map[material.WireCode]measure.Mass {
	sums := make(map[material.WireCode]measure.Mass, len(in.Wires))
	for _, u := range in.Usage {
		sums[u.Wire] += u.Mass
	}
	return sums
}

// BenchmarkNight runs the nightly check of 500 wires over three years, and the plain pass, in turn: ratio is the check over the pass.
func BenchmarkNight(b *testing.B) {
	in := bigShop()
	var check, pass time.Duration
	for b.Loop() {
		start := time.Now()
		if got := plainPass(in); len(got) != 500 {
			b.Fatal("wires lost")
		}
		middle := time.Now()
		if got := Night(in); len(got.Wires) != 500 {
			b.Fatal("wires lost")
		}
		pass += middle.Sub(start)
		check += time.Since(middle)
	}
	b.ReportMetric(float64(check)/float64(pass), "ratio")
	b.ReportMetric(float64(len(in.Usage)), "rows")
}
