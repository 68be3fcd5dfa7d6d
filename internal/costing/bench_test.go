package costing_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// decade is ten years of a busy shop: spools of a hundred wires, each drawn from a hundred times.
func decade(n int) []costing.Entry {
	random := rand.New(rand.NewPCG(1, 2))
	entries := make([]costing.Entry, n)
	left := map[material.WireCode]measure.Mass{}
	names := make([]material.WireCode, 100)
	for i := range names {
		names[i] = material.WireCode(fmt.Sprintf("W%02d", i))
	}
	for i := range entries {
		day := firstDay + calendar.Date(i*3650/n)
		e := costing.Entry{ID: stock.MovementID(i + 1), Wire: names[random.IntN(len(names))], On: day, At: day.Time().Add(time.Duration(i) * time.Microsecond)}
		e.Kind, e.Mass = stock.Draw, -measure.Mass(1+random.IntN(20_000))
		if left[e.Wire] < 100_000 {
			e.Kind, e.Mass, e.Cost = stock.Receipt, measure.Kilogram, money.Minor(3000+random.IntN(4000))
		} else if random.IntN(50) == 0 {
			e.Kind = stock.WeighBack
			e.Mass = -e.Mass / 10
		}
		if e.Kind != stock.Receipt {
			e.Cost = money.Minor(e.Mass / 200)
		}
		left[e.Wire] += e.Mass
		entries[i] = e
	}
	return entries
}

// BenchmarkLedger values 200 000 movements under three formulas and rolls 120 months forward; plain sums their masses and costs by
// wire and month in one map, and does nothing else. The ratio is what the formulas cost.
func BenchmarkLedger(b *testing.B) {
	entries := decade(200_000)
	from, to := costing.PeriodOf(entries[0].On), costing.PeriodOf(entries[len(entries)-1].On)
	plain := func() {
		type key struct {
			wire material.WireCode
			p    costing.Period
		}
		sums := map[key]costing.Quantity{}
		for _, e := range entries {
			k := key{e.Wire, costing.PeriodOf(e.On)}
			q := sums[k]
			sums[k] = costing.Quantity{Mass: q.Mass + e.Mass, Cost: q.Cost + e.Cost}
		}
	}
	rolled := func() {
		r := costing.NewRoller(from, to, byMixed())
		for _, e := range entries {
			if _, err := r.Post(e); err != nil {
				b.Fatal(err)
			}
		}
		r.Months()
	}
	b.ReportAllocs()
	var one, other time.Duration
	for b.Loop() {
		start := time.Now()
		plain()
		middle := time.Now()
		rolled()
		one, other = one+middle.Sub(start), other+time.Since(middle)
	}
	b.ReportMetric(float64(other)/float64(one), "x-plain")
}
