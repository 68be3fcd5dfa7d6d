package sequencing

import (
	"fmt"
	"testing"
)

// BenchmarkSolve gives seconds, memory and growth with size, and the plan as parts of its floor, of due order and of grouping.
func BenchmarkSolve(b *testing.B) {
	for _, dues := range []bool{noDues, mixedDues} {
		for _, n := range []int{50, 100, 200, 400} {
			b.Run(fmt.Sprintf("batches=%d/dues=%v", n, dues), func(b *testing.B) {
				p := room(1, n, dues, 75)
				b.ReportAllocs()
				var r Result
				for b.Loop() {
					r = Solve(p)
				}
				d, g := dueOrder(p).Value, grouped(p).Value
				b.ReportMetric(float64(r.Value.Setup)/float64(Bound(p).Setup), "setup-of-floor")
				b.ReportMetric(float64(r.Value.Setup)/float64(d.Setup), "setup-of-due-order")
				b.ReportMetric(float64(r.Value.Setup)/float64(g.Setup), "setup-of-grouped")
				b.ReportMetric(float64(r.Value.Late)/float64(max(1, d.Late)), "late-of-due-order")
				b.ReportMetric(float64(r.Value.Late)/float64(max(1, g.Late)), "late-of-grouped")
			})
		}
	}
}
