package cutting

import (
	"cmp"
	"math"
	"slices"

	"windingroom/internal/measure"
)

// greedy serves the stretches in turn: those with a spool on the machine first, then by priority, by mass of a string and by
// mass. Each takes from the spool that costs least, as many strings as it holds, or fewer where that leaves a usable end.
func (b *book) greedy() {
	order := make([]int, len(b.Batches))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(x, y int) int {
		p, q := &b.Batches[x], &b.Batches[y]
		return cmp.Or(cmp.Compare(min(0, q.First), min(0, p.First)), cmp.Compare(q.Priority, p.Priority),
			cmp.Compare(q.heaviest(), p.heaviest()), cmp.Compare(q.mass(0, q.strings()), p.mass(0, p.strings())))
	})
	for _, i := range order {
		if st := &b.Batches[i]; !b.set(i, st.tidy(b.serve(i, nil))) {
			b.set(i, []Piece{{-1, st.strings()}}) // two draws made one take a milligram more than there is
		}
	}
}

func (st *Stretch) heaviest() measure.MassEach {
	var each measure.MassEach
	for _, l := range st.Loads {
		each = max(each, l.Each)
	}
	return each
}

// serve fills up a stretch that begins with the given pieces; what finds no wire is a last piece without a spool.
func (b *book) serve(i int, pieces []Piece) []Piece {
	st := &b.Batches[i]
	at, total := 0, st.strings()
	left := slices.Clone(b.left)
	for _, p := range pieces {
		if p.Spool >= 0 {
			left[p.Spool] -= st.mass(at, at+p.Strings)
		}
		at += p.Strings
	}
	for at < total {
		last := st.First
		if len(pieces) > 0 {
			last = pieces[len(pieces)-1].Spool
		}
		best := Piece{-1, total - at}
		least := int64(math.MaxInt64)
		for s := range b.Spools {
			n := st.most(at, left[s])
			if n == 0 {
				continue
			}
			for _, take := range b.choices(st, at, n, left[s], s) {
				cost := b.priceOf(st, s, last, left[s], left[s]-st.mass(at, at+take)) + b.apart(st, at, at+take, s)
				if rest := total - at - take; rest > 0 { // what is left needs at least one spool more
					cost += b.Prices.Mount*int64(1+rest/max(1, take)) + int64(2*rest)
				}
				if cost < least {
					best, least = Piece{s, take}, cost
				}
			}
		}
		if best.Spool >= 0 {
			left[best.Spool] -= st.mass(at, at+best.Strings)
		}
		pieces = append(pieces, best)
		at += best.Strings
	}
	return pieces
}

// choices are the numbers of strings worth taking from a spool: all it holds, one less, and as many as leave a usable end.
func (b *book) choices(st *Stretch, at, n int, left measure.Mass, s int) [3]int {
	kept := max(1, st.most(at, left-b.Spools[s].Usable))
	return [3]int{n, max(1, n-1), min(n, kept)}
}

// priceOf gives what it costs to draw a spool down.
func (b *book) priceOf(st *Stretch, s, last int, before, after measure.Mass) int64 {
	spool := &b.Spools[s]
	var cost int64
	scrap := func(m measure.Mass) int64 {
		if m > 0 && m < spool.Usable {
			return b.Prices.Scrap * int64(m)
		}
		return 0
	}
	cost += scrap(after)
	if b.used[s] > 0 {
		cost -= scrap(before)
	} else {
		cost += b.Prices.Age * int64(spool.Rank)
	}
	if s != last {
		cost += b.Prices.Mount
		if last >= 0 && b.Spools[last].Lot != spool.Lot {
			cost += b.Prices.Lot
		}
	}
	for k, n := range b.users[s] {
		if k != st.Machine && (n > 0 || k == spool.Home) {
			cost += b.Prices.Share
		}
	}
	return cost
}
