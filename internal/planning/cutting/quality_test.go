package cutting

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"windingroom/internal/measure"
)

// wireDay makes one wire's day, in millimetres instead of mg: part-used spools, half the wires core-like (300 m new), half
// wrap-like (1500 m), and batches that take a share of what is there; ends below two strings or so are of no use. 200 mm of
// scrap are worth a mount.
func wireDay(seed uint64, spools, batches int, percent int) Problem {
	r := rand.New(rand.NewPCG(seed, uint64(spools*1000+batches)))
	full, each := 300_000, 900
	if seed%2 == 1 {
		full, each = 1_500_000, 4_000
	}
	p := Problem{Prices: Prices{Scrap: 1_000, Mount: 200_000, Age: 1}}
	total := 0
	for s := range spools {
		free := full/20 + r.IntN(full)
		total += free
		p.Spools = append(p.Spools, Spool{Free: measure.Mass(free), Usable: measure.Mass(full / 50), Rank: s, Lot: s / 3, Home: -1})
	}
	shares, sum := make([]int, batches), 0
	for i := range shares {
		shares[i] = 1 + r.IntN(10)
		sum += shares[i]
	}
	for i := range batches {
		one := each + r.IntN(each/2)
		n := max(1, total/100*percent/sum*shares[i]/one)
		p.Batches = append(p.Batches, Stretch{First: -1, Priority: 1 + r.IntN(3), Loads: []Load{{measure.MassEach(one) * ngPerMg, n}}})
	}
	return p
}

// oldestFirst draws every batch from the oldest spool that makes a string, down to its end.
func oldestFirst(p Problem) Value {
	b := newBook(&p)
	for i := range p.Batches {
		st := &p.Batches[i]
		var pieces []Piece
		at := 0
		for s := range p.Spools {
			if n := st.most(at, b.left[s]); n > 0 {
				pieces = append(pieces, Piece{s, n})
				at += n
			}
		}
		if n := st.strings() - at; n > 0 {
			pieces = append(pieces, Piece{-1, n})
		}
		b.set(i, pieces)
	}
	return b.value
}

// Unusable ends are near nothing up to 90 % use, where oldest first leaves kilometres.
func TestRemnants(t *testing.T) {
	const wires = 6
	for _, c := range []struct{ spools, batches, percent int }{{20, 8, 50}, {40, 14, 50}, {40, 100, 50}, {20, 8, 90}, {40, 100, 90}, {20, 8, 98}, {20, 8, 102}} {
		var got, old Value
		var unfilled, mounts int64
		for w := range uint64(wires) {
			p := wireDay(w, c.spools, c.batches, c.percent)
			r, o := Solve(p), oldestFirst(p)
			u, m := Bound(p)
			if u > r.Value.Unfilled || (u == r.Value.Unfilled && m > r.Value.Mounts) {
				t.Fatalf("bounds %d, %d above %+v", u, m, r.Value)
			}
			unfilled, mounts = unfilled+u, mounts+m
			got = Value{got.Unfilled + r.Value.Unfilled, got.Scrap + r.Value.Scrap, got.Mounts + r.Value.Mounts, 0, 0}
			old = Value{old.Unfilled + o.Unfilled, old.Scrap + o.Scrap, old.Mounts + o.Mounts, 0, 0}
		}
		t.Logf("%d spools, %d batches, %d %%: unfilled %d (bound %d, oldest first %d), scrap %d m (oldest first %d m), mounts %d (bound %d, oldest first %d)",
			c.spools, c.batches, c.percent, got.Unfilled, unfilled, old.Unfilled, got.Scrap/1000, old.Scrap/1000, got.Mounts, mounts, old.Mounts)
		if c.percent <= 90 && (got.Unfilled > 0 || got.Scrap*100 > old.Scrap || old.Scrap < 5_000) {
			t.Errorf("%+v: %d unfilled, %d mm of scrap, oldest first %d mm", c, got.Unfilled, got.Scrap, old.Scrap)
		}
	}
}

// BenchmarkSolve gives the time of one wire with growth, and scrap and mounts as parts of what oldest first takes.
func BenchmarkSolve(b *testing.B) {
	for _, c := range []struct{ spools, batches, percent int }{{20, 8, 90}, {40, 14, 90}, {40, 100, 90}, {20, 8, 102}} {
		b.Run(fmt.Sprintf("spools=%d/batches=%d/use=%d", c.spools, c.batches, c.percent), func(b *testing.B) {
			p := wireDay(1, c.spools, c.batches, c.percent)
			var r Result
			for b.Loop() {
				r = Solve(p)
			}
			o := oldestFirst(p)
			b.ReportMetric(float64(r.Value.Scrap)/float64(max(1, o.Scrap)), "scrap-of-oldest-first")
			b.ReportMetric(float64(r.Value.Mounts)/float64(o.Mounts), "mounts-of-oldest-first")
		})
	}
}
