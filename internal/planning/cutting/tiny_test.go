package cutting

import (
	"math/rand/v2"
	"testing"

	"windingroom/internal/measure"
)

// tiny makes a random problem of up to 4 spools and 3 batches of equal strings.
func tiny(seed uint64) Problem {
	r := rand.New(rand.NewPCG(seed, 9))
	p := Problem{Prices: Prices{Scrap: 3, Mount: 600, Age: 1}}
	usable := measure.Mass(r.IntN(400))
	for s := range 1 + r.IntN(4) {
		p.Spools = append(p.Spools, Spool{Free: measure.Mass(300 + r.IntN(2500)), Usable: usable, Rank: s, Lot: r.IntN(2), Home: -1})
	}
	for range 1 + r.IntN(3) {
		p.Batches = append(p.Batches, Stretch{First: r.IntN(len(p.Spools)+2) - 2, Priority: 1 + r.IntN(3),
			Loads: []Load{{measure.MassEach(200+r.IntN(300))*ngPerMg + 123, 1 + r.IntN(5)}}})
		st := &p.Batches[len(p.Batches)-1]
		if st.First >= len(p.Spools) || st.First < 0 {
			st.First = -1
		}
	}
	return p
}

// every tries every whole number of strings from every spool; the order within a batch is the cheapest: the spool that is there
// first.
func every(p Problem) Value {
	var best Value
	first := true
	x := make([][]int, len(p.Batches))
	var try func(i, s, left int)
	try = func(i, s, left int) {
		if i == len(p.Batches) {
			if v, ok := reckon(p, x); ok && (first || v.Less(best)) {
				best, first = v, false
			}
			return
		}
		if s == 0 && x[i] == nil {
			x[i] = make([]int, len(p.Spools))
		}
		if s == len(p.Spools) {
			if i+1 == len(p.Batches) {
				try(i+1, 0, 0)
			} else {
				try(i+1, 0, p.Batches[i+1].Loads[0].Strings)
			}
			return
		}
		for n := 0; n <= left; n++ {
			x[i][s] = n
			try(i, s+1, left-n)
		}
		x[i][s] = 0
	}
	try(0, 0, p.Batches[0].Loads[0].Strings)
	return best
}

func reckon(p Problem, x [][]int) (v Value, ok bool) {
	left := make([]measure.Mass, len(p.Spools))
	used := make([]bool, len(p.Spools))
	for s := range p.Spools {
		left[s] = p.Spools[s].Free
	}
	for i, st := range p.Batches {
		rest := st.Loads[0].Strings
		lots := map[int]bool{}
		for s, n := range x[i] {
			if n == 0 {
				continue
			}
			rest -= n
			left[s] -= st.Loads[0].Each.Times(int64(n))
			used[s] = true
			lots[p.Spools[s].Lot] = true
			if s != st.First {
				v.Mounts++
			}
		}
		v.Unfilled += int64(rest * st.Priority)
	}
	for s, l := range left {
		if l < 0 {
			return v, false
		}
		if used[s] {
			v.Cost += p.Prices.Age * int64(p.Spools[s].Rank)
			if l > 0 && l < p.Spools[s].Usable {
				v.Scrap += l
			}
		}
	}
	v.Cost += p.Prices.Scrap*int64(v.Scrap) + p.Prices.Mount*v.Mounts
	return v, true
}

func TestTinyAgainstAllChoices(t *testing.T) {
	const problems = 300
	missed, proven := 0, 0
	for seed := range uint64(problems) {
		p := tiny(seed)
		want := every(p)
		r := Solve(p)
		x := make([][]int, len(p.Batches))
		for i, pieces := range r.Pieces {
			x[i] = make([]int, len(p.Spools))
			for _, piece := range pieces {
				if piece.Spool >= 0 {
					x[i][piece.Spool] += piece.Strings
				}
			}
		}
		got, ok := reckon(p, x)
		if !ok || got.Unfilled != r.Value.Unfilled || got.Scrap != r.Value.Scrap || got.Less(want) {
			t.Fatalf("problem %d: %+v, reckoned %+v (%v), least %+v", seed, r.Value, got, ok, want)
		}
		if u, m := Bound(p); u > want.Unfilled || (want.Unfilled == u && m > want.Mounts) {
			t.Fatalf("problem %d: bounds %d and %d above the least %+v", seed, u, m, want)
		}
		if want.Less(got) {
			missed++
		}
		if r.Proven {
			proven++
		}
	}
	t.Logf("%d problems: least value missed in %d, proven in %d", problems, missed, proven)
	if missed*20 > problems {
		t.Errorf("least value missed in %d of %d problems", missed, problems)
	}
}
