package cutting

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/measure"
)

// further counts the lots beyond the first that each order may get strings of, from a result alone.
func further(p Problem, r Result) int64 {
	lots := map[int]map[int]bool{}
	for i, st := range p.Batches {
		for l, own := range st.deal(r.Pieces[i]) {
			for _, o := range st.Orders[l] {
				if lots[o] == nil {
					lots[o] = map[int]bool{}
				}
				for _, piece := range own {
					if piece.Spool >= 0 {
						lots[o][p.Spools[piece.Spool].Lot] = true
					}
				}
			}
		}
	}
	n := 0
	for _, own := range lots {
		n += max(0, len(own)-1)
	}
	return int64(n)
}

// Two machines wind for one order; a spool on both would have to be handed from one to the other.
func TestOneLotForAnOrder(t *testing.T) {
	prices := Prices{Scrap: 1_000, Mount: 200_000, Age: 1, Lot: 60, Match: 60, Share: 10_000_000}
	spool := func(free measure.Mass, rank, lot int) Spool {
		return Spool{Free: free, Usable: 10, Rank: rank, Lot: lot, Home: -1}
	}
	stretch := func(machine, strings int, orders ...int) Stretch {
		return Stretch{Machine: machine, First: -1, Loads: []Load{{100 * ngPerMg, strings}}, Orders: [][]int{orders}}
	}
	for _, c := range []struct {
		name    string
		spools  []Spool
		batches []Stretch
		further int64
		mounts  int64
		want    [][]int // spools by stretch
	}{
		{"the next of the lot before the next in age", []Spool{spool(900, 0, 0), spool(900, 1, 1), spool(900, 2, 0)},
			[]Stretch{stretch(0, 5, 0), stretch(1, 5, 0)}, 0, 2, [][]int{{0}, {2}}},
		{"without a common order by age", []Spool{spool(900, 0, 0), spool(900, 1, 1), spool(900, 2, 0)},
			[]Stretch{stretch(0, 5), stretch(1, 5)}, 0, 2, [][]int{{0}, {1}}},
		{"the oldest gives way where its lot has no second spool", []Spool{spool(900, 0, 0), spool(900, 1, 1), spool(900, 2, 1)},
			[]Stretch{stretch(0, 5, 0), stretch(1, 5, 0)}, 0, 2, [][]int{{2}, {1}}},
		{"one lot does not suffice", []Spool{spool(900, 0, 0), spool(900, 1, 1)},
			[]Stretch{stretch(0, 9, 0), stretch(1, 9, 0)}, 1, 2, [][]int{{0}, {1}}},
		{"no more changes for one lot", []Spool{spool(500, 0, 0), spool(900, 1, 1), spool(400, 2, 0), spool(500, 3, 0)},
			[]Stretch{stretch(0, 5, 0), stretch(1, 9, 0)}, 1, 2, [][]int{{0}, {1}}},
		{"orders across each other", []Spool{spool(900, 0, 0), spool(900, 1, 1), spool(900, 2, 0), spool(900, 3, 1)},
			[]Stretch{stretch(0, 9, 0), stretch(1, 9, 1), stretch(2, 9, 1), stretch(3, 9, 0)}, 0, 4, nil},
	} {
		p := Problem{Spools: c.spools, Batches: c.batches, Prices: prices}
		r := Solve(p)
		if got := further(p, r); r.Value.Unfilled > 0 || got != c.further || r.Value.Mounts != c.mounts {
			t.Errorf("%s: %d further lots, %+v from %v", c.name, got, r.Value, r.Pieces)
		}
		for i, want := range c.want {
			var got []int
			for _, piece := range r.Pieces[i] {
				got = append(got, piece.Spool)
			}
			if !slices.Equal(slices.Sorted(slices.Values(got)), want) {
				t.Errorf("%s: stretch %d from %v, want %v", c.name, i, got, want)
			}
		}
	}
}

// lotted draws a problem whose batches share orders.
func lotted(t *rapid.T) Problem {
	p := Problem{Prices: Prices{Scrap: 1_000, Mount: 200_000, Age: 1, Lot: 60, Share: 10_000_000}, Effort: 2_000}
	for s := range rapid.IntRange(1, 9).Draw(t, "spools") {
		p.Spools = append(p.Spools, Spool{Free: measure.Mass(rapid.SampledFrom([]int{60, 400, 777, 1_500, 3_000, 5_000}).Draw(t, "free")), Usable: 150, Rank: s,
			Lot: rapid.IntRange(0, 2).Draw(t, "lot"), Home: rapid.SampledFrom([]int{-1, -1, -1, 0}).Draw(t, "home")})
	}
	for range rapid.IntRange(1, 5).Draw(t, "stretches") {
		st := Stretch{Machine: rapid.IntRange(0, 3).Draw(t, "machine"), First: -1}
		if rapid.IntRange(0, 5).Draw(t, "mounted") == 0 {
			st.First = rapid.IntRange(0, len(p.Spools)-1).Draw(t, "first")
		}
		for range rapid.IntRange(1, 3).Draw(t, "loads") {
			st.Loads = append(st.Loads, Load{measure.MassEach(rapid.IntRange(50, 300).Draw(t, "each"))*ngPerMg + 321, rapid.IntRange(1, 6).Draw(t, "strings")})
			st.Orders = append(st.Orders, rapid.SliceOfNDistinct(rapid.IntRange(0, 3), 0, 3, rapid.ID[int]).Draw(t, "orders"))
		}
		p.Batches = append(p.Batches, st)
	}
	return p
}

// The price of a lot in an order never costs a string, wire, a change or a shared spool, and what it costs in age and lots of
// a stretch is no more than it saves.
func TestOneLotCostsNothingElse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := lotted(t)
		without := Solve(p)
		p.Prices.Match = rapid.Int64Range(1, 200).Draw(t, "price")
		with := Solve(p)
		w, v := with.Value, without.Value
		if w.Unfilled != v.Unfilled || w.Scrap > v.Scrap || w.Mounts > v.Mounts || w.Shared > v.Shared || (without.Proven && !with.Proven) {
			t.Fatalf("%+v, without the price %+v", w, v)
		}
		few, many := further(p, with), further(p, without)
		if w.Cost > v.Cost+p.Prices.Match*many {
			t.Fatalf("%+v with %d further lots, without the price %+v with %d", w, few, v, many)
		}
		for i := range p.Batches {
			taken := 0
			for _, piece := range with.Pieces[i] {
				taken += piece.Strings
			}
			if taken != p.Batches[i].strings() {
				t.Fatalf("stretch %d of %d strings has %v", i, p.Batches[i].strings(), with.Pieces[i])
			}
		}
		again := newBook(&p)
		again.putAll(with.Pieces)
		for s, left := range again.left {
			if left < 0 {
				t.Fatalf("spool %d is overdrawn by %d mg", s, -left)
			}
		}
		if u := again.value; u.Cost+p.Prices.Match*few != w.Cost || u.Scrap != w.Scrap || u.Mounts != w.Mounts {
			t.Fatalf("%+v is said, %+v and %d further lots are had", w, u, few)
		}
		if again := Solve(p); !slices.EqualFunc(again.Pieces, with.Pieces, slices.Equal) {
			t.Fatalf("%v, then %v", with.Pieces, again.Pieces)
		}
	})
}
