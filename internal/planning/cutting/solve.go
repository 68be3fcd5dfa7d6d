package cutting

import (
	"slices"

	"windingroom/internal/planning/dice"
)

// The search: so many evaluations, four times as many where strings are unfilled or wire is scrapped, and temperatures as parts
// of the price of a mount.
const (
	tries        = 40_000
	moreTries    = 4
	temperatures = 100
	coolTo       = 970 // of 1000, at each temperature
	warmest      = 4   // mounts
)

// Solve chooses the spools: greedily, each stretch from the spool that costs least with a look at what is left on it; then, where
// that is not at its bounds, by threshold annealing over whole strings; last, one lot for an order where that costs nothing else.
func Solve(p Problem) Result {
	b := newBook(&p)
	b.greedy()
	unfilled, mounts := Bound(p)
	proven := func() bool {
		return b.value.Unfilled == unfilled && b.value.Scrap == 0 && b.value.Mounts == mounts && b.value.Shared == 0
	}
	if !proven() && p.Effort >= 0 {
		b.anneal(unfilled)
	}
	b.arrange()
	if p.Prices.Match > 0 && p.Effort >= 0 {
		b.match()
	}
	return Result{Pieces: b.pieces, Value: b.value, Proven: proven()}
}

func (b *book) arrange() {
	for i := range b.Batches {
		b.set(i, b.Batches[i].Arrange(b.pieces[i]))
	}
}

// anneal looks for a better choice and leaves the best one in the book.
func (b *book) anneal(floor int64) {
	n := b.Effort
	if n == 0 {
		n = min(tries, 4_000*len(b.Batches))
		if b.value.Unfilled > floor || b.value.Scrap > 0 {
			n *= moreTries
		}
	}
	d := dice.Dice(1)
	best, least := b.copy(), b.value
	theta := max(1, b.Prices.Mount*warmest)
	for range temperatures {
		for range n / temperatures {
			b.try(&d, theta)
			if b.value.Less(least) {
				least = b.value
				copy(best, b.pieces)
			}
		}
		theta = max(1, theta*coolTo/1000)
	}
	for i := range best {
		b.set(i, best[i])
	}
}

func (b *book) copy() [][]Piece { return slices.Clone(b.pieces) }

// score is what the search makes less: an unfilled string costs more than anything else can save.
func (b *book) score() int64 {
	return b.value.Cost + b.value.Unfilled*(b.Prices.Mount+b.Prices.Share+1)*unfilledMounts
}

const unfilledMounts = 8

// try changes one or two stretches and keeps that where it is no more than a random tolerance worse.
func (b *book) try(d *dice.Dice, theta int64) {
	i := d.Below(len(b.Batches))
	before := b.score()
	old := b.pieces[i]
	j, other := -1, []Piece(nil)
	ok := true
	switch kind := d.Below(10); {
	case kind < 3:
		ok = b.refill(d, i)
	case kind < 6:
		ok = b.change(d, i)
	case kind < 8:
		ok = b.shift(d, i)
	default:
		if j = d.Below(len(b.Batches)); j == i {
			return
		}
		other = b.pieces[j]
		ok = b.evict(d, i, j)
	}
	if ok && b.score()-before <= theta*d.Tolerance()>>10 {
		return
	}
	b.set(i, old)
	if j >= 0 {
		b.set(j, other)
	}
}

// refill takes off the end of a stretch and serves it again, from a random spool first.
func (b *book) refill(d *dice.Dice, i int) bool {
	old := b.pieces[i]
	st := &b.Batches[i]
	keep := d.Below(len(old) + 1)
	pieces := slices.Clone(old[:keep])
	if keep > 0 && pieces[keep-1].Spool < 0 {
		pieces = pieces[:keep-1]
	}
	b.set(i, nil)
	at := 0
	for _, p := range pieces {
		at += p.Strings
	}
	if total := st.strings(); at < total && d.Below(2) == 0 {
		s := d.Below(len(b.Spools))
		left := b.left[s]
		from := 0
		for _, p := range pieces {
			if p.Spool == s {
				left -= st.mass(from, from+p.Strings)
			}
			from += p.Strings
		}
		if n := st.most(at, left); n > 0 {
			if d.Below(2) == 0 {
				n = 1 + d.Below(n)
			}
			pieces = append(pieces, Piece{s, n})
		}
	}
	return b.set(i, st.tidy(b.serve(i, pieces)))
}

// change puts one piece on another spool.
func (b *book) change(d *dice.Dice, i int) bool {
	pieces := slices.Clone(b.pieces[i])
	if len(pieces) == 0 {
		return false
	}
	pieces[d.Below(len(pieces))].Spool = d.Below(len(b.Spools))
	return b.set(i, b.Batches[i].tidy(pieces))
}

// shift moves strings over the border between two pieces, or cuts a piece in two.
func (b *book) shift(d *dice.Dice, i int) bool {
	pieces := slices.Clone(b.pieces[i])
	if len(pieces) == 0 {
		return false
	}
	at := d.Below(len(pieces))
	if at+1 == len(pieces) {
		if pieces[at].Strings < 2 {
			return false
		}
		n := 1 + d.Below(pieces[at].Strings-1)
		pieces = slices.Insert(pieces, at+1, Piece{d.Below(len(b.Spools)), pieces[at].Strings - n})
		pieces[at].Strings = n
		return b.set(i, b.Batches[i].tidy(pieces))
	}
	if d.Below(2) == 0 {
		n := 1 + d.Below(pieces[at].Strings)
		pieces[at].Strings -= n
		pieces[at+1].Strings += n
	} else {
		n := 1 + d.Below(pieces[at+1].Strings)
		pieces[at].Strings += n
		pieces[at+1].Strings -= n
	}
	return b.set(i, b.Batches[i].tidy(pieces))
}

// evict takes two stretches off their spools and serves one, then the other.
func (b *book) evict(d *dice.Dice, i, j int) bool {
	keep := func(x int) []Piece {
		p := b.pieces[x]
		n := d.Below(len(p) + 1)
		if n > 0 && p[n-1].Spool < 0 {
			n--
		}
		return slices.Clone(p[:n])
	}
	one, two := keep(i), keep(j)
	b.set(i, one)
	b.set(j, two)
	two = b.Batches[j].tidy(b.serveFrom(j, two))
	if !b.set(j, two) {
		return false
	}
	return b.set(i, b.Batches[i].tidy(b.serveFrom(i, one)))
}

// serveFrom serves a stretch whose first pieces are in the book already.
func (b *book) serveFrom(i int, pieces []Piece) []Piece {
	b.set(i, nil)
	return b.serve(i, pieces)
}
