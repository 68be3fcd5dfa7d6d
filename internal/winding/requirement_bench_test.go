package winding

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"windingroom/internal/measure"
)

const benchRows = 1_000_000

// benchScenario invents a shop of 120 recipes on 40 wires and a million rows of strings, always the same.
func benchScenario(b *testing.B) (recipes []Recipe, wires int, rows []Strings) {
	wires = 40
	rng := rand.New(rand.NewPCG(1, 2))
	for range 120 {
		build := steelCore(hexWire(10 + float64(rng.IntN(14))))
		for range rng.IntN(MaxLayers + 1) {
			build.Layers = append(build.Layers, bronze(roundWire(4+float64(rng.IntN(16)))))
		}
		s, err := Design(build)
		if err != nil {
			b.Fatal(err)
		}
		r := Recipe{Kernel: Compile(s, DefaultAllowances())}
		for j := range r.Wires {
			r.Wires[j] = rng.IntN(wires)
		}
		recipes = append(recipes, r)
	}
	rows = make([]Strings, benchRows)
	for i := range rows {
		rows[i] = Strings{
			Recipe:   int32(rng.IntN(len(recipes))),
			Quantity: int32(1 + rng.IntN(12)),
			Scale:    24*measure.Inch + measure.Size(rng.IntN(40))*measure.Inch/4,
		}
	}
	return recipes, wires, rows
}

// plainLoop is the baseline: the same mass in floating point, neither rounded per string nor exact nor checked.
func plainLoop(recipes []Recipe, wires int, rows []Strings) []float64 {
	totals := make([]float64, wires)
	for i := range rows {
		row := &rows[i]
		r := &recipes[row.Recipe]
		scale, quantity := float64(row.Scale.Metres()), float64(row.Quantity)
		totals[r.Wires[0]] += quantity * (r.Kernel.core.fixed + r.Kernel.core.perM*scale)
		for j := range r.Kernel.layers[:r.Kernel.wraps] {
			l := &r.Kernel.layers[j]
			totals[r.Wires[1+j]] += quantity * (l.fixed + l.perM*scale)
		}
	}
	return totals
}

// BenchmarkRequirement adds up a million rows, exactly and by the plain loop, in turn. It reports the exact sum's
// nanoseconds per row of strings and the median of its ratio to the plain loop's.
func BenchmarkRequirement(b *testing.B) {
	recipes, wires, rows := benchScenario(b)
	var exact time.Duration
	var ratios []float64
	for b.Loop() {
		start := time.Now()
		plain := plainLoop(recipes, wires, rows)
		middle := time.Now()
		totals, err := Requirement(recipes, wires, rows)
		took := time.Since(middle)
		if err != nil {
			b.Fatal(err)
		}
		if off := totals[0].Kilograms()/plain[0] - 1; off > 1e-6 || off < -1e-6 {
			b.Fatalf("wire 0: %v, plain loop %v kg", totals[0], plain[0])
		}
		exact += took
		ratios = append(ratios, float64(took)/float64(middle.Sub(start)))
	}
	slices.Sort(ratios)
	b.ReportMetric(float64(exact.Nanoseconds())/float64(len(ratios))/benchRows, "ns/string")
	b.ReportMetric(ratios[len(ratios)/2], "x-plain")
}
