package cutting

import "slices"

// tally counts what each order that has strings in several loads may get from each lot. Which string of a batch goes to which
// order is open, so an order counts every lot of its batches.
type tally struct {
	lots    int
	pieces  []int // by order and lot
	own     []int // by order: its lots
	further int64 // lots beyond the first, of all orders
	tries   int   // that are left
}

func (p *Problem) newTally() *tally {
	orders, lots := 0, 0
	for i := range p.Batches {
		for _, own := range p.Batches[i].Orders {
			for _, o := range own {
				orders = max(orders, o+1)
			}
		}
	}
	for _, s := range p.Spools {
		lots = max(lots, s.Lot+1)
	}
	return &tally{tries: matchTries, lots: lots, pieces: make([]int, orders*lots), own: make([]int, orders)}
}

func (t *tally) add(order, lot, sign int) {
	n := &t.pieces[order*t.lots+lot]
	was := *n > 0
	*n += sign
	if was == (*n > 0) {
		return
	}
	before := max(0, t.own[order]-1)
	t.own[order] += sign
	t.further += int64(max(0, t.own[order]-1) - before)
}

// overlaps gives the orders of the loads that strings from..to of a stretch are of, load by load.
func (st *Stretch) overlaps(from, to int, give func(orders []int)) {
	begin := 0
	for i, orders := range st.Orders {
		end := begin + st.Loads[i].Strings
		if max(from, begin) < min(to, end) {
			give(orders)
		}
		begin = end
	}
}

// count adds the pieces of a stretch to the orders' lots, or takes them off, and what that costs.
func (b *book) count(st *Stretch, pieces []Piece, sign int) {
	at, before := 0, b.tally.further
	if st.Orders == nil {
		return
	}
	for _, p := range pieces {
		if p.Spool >= 0 {
			st.overlaps(at, at+p.Strings, func(orders []int) {
				for _, o := range orders {
					b.tally.add(o, b.Spools[p.Spool].Lot, sign)
				}
			})
		}
		at += p.Strings
	}
	b.value.Cost += b.Prices.Match * (b.tally.further - before)
}

// apart gives what it costs that strings from..to are of a lot that their orders do not have yet.
func (b *book) apart(st *Stretch, from, to, s int) int64 {
	if b.tally == nil {
		return 0
	}
	n := int64(0)
	st.overlaps(from, to, func(orders []int) {
		for _, o := range orders {
			if b.tally.own[o] > 0 && b.tally.pieces[o*b.tally.lots+b.Spools[s].Lot] == 0 {
				n++
			}
		}
	})
	return b.Prices.Match * n
}

// match gives the strings of an order one lot where that costs no unfilled string, wire, mount or shared spool: by another
// greedy choice that knows the lots, then by other spools for single stretches and exchanges between two, as long as the sum
// falls and tries are left. The annealing before it does without: at its coldest it tolerates far more than the price of a lot.
func (b *book) match() {
	b.tally = b.newTally()
	for i := range b.Batches {
		b.count(&b.Batches[i], b.pieces[i], 1)
	}
	if b.tally.further == 0 {
		return
	}
	old, least := b.copy(), b.value
	b.putAll(make([][]Piece, len(old)))
	b.greedy()
	b.arrange()
	if !b.value.matches(least) {
		b.putAll(old)
	}
	for b.improve() {
	}
}

const matchTries = 10_000

func (b *book) putAll(pieces [][]Piece) {
	for i := range pieces {
		b.set(i, pieces[i])
	}
}

// matches says whether a value is better than another, and no worse in anything but age and lots.
func (v Value) matches(o Value) bool {
	return v.Less(o) && v.Scrap <= o.Scrap && v.Mounts <= o.Mounts && v.Shared <= o.Shared
}

// improve tries every stretch once and says whether any found a better choice.
func (b *book) improve() bool {
	found := false
	for i := range b.Batches {
		for at := 0; at < len(b.pieces[i]); at++ {
			found = b.replace(i, at) || found
			for j := i + 1; j < len(b.Batches); j++ {
				found = b.exchange(i, at, j) || found
			}
		}
	}
	return found && b.tally.further > 0 && b.tally.tries > 0
}

// replace puts what a stretch has from the spool of one piece on a spool of another lot, and keeps the first that is better.
func (b *book) replace(i, at int) bool {
	s := b.pieces[i][at].Spool
	if s < 0 {
		return false
	}
	for t := range b.Spools {
		if b.Spools[t].Lot != b.Spools[s].Lot && b.left[t] > 0 && b.keep(i, b.with(i, s, t), i, nil) {
			return true
		}
	}
	return false
}

// exchange lets two stretches have each other's spools: that of one piece of the first for each of the second.
func (b *book) exchange(i, at, j int) bool {
	if at >= len(b.pieces[i]) || b.pieces[i][at].Spool < 0 {
		return false
	}
	s := b.pieces[i][at].Spool
	for _, p := range b.pieces[j] {
		if t := p.Spool; t >= 0 && b.Spools[t].Lot != b.Spools[s].Lot && b.keep(i, b.with(i, s, t), j, b.with(j, t, s)) {
			return true
		}
	}
	return false
}

// with gives the pieces of a stretch with one spool in another's stead.
func (b *book) with(i, s, t int) []Piece {
	pieces := slices.Clone(b.pieces[i])
	for k := range pieces {
		if pieces[k].Spool == s {
			pieces[k].Spool = t
		}
	}
	st := &b.Batches[i]
	return st.Arrange(st.tidy(pieces))
}

// keep gives one stretch, or two, other pieces where that is better.
func (b *book) keep(i int, one []Piece, j int, two []Piece) bool {
	if b.tally.tries--; b.tally.tries < 0 {
		return false
	}
	before, oldOne, oldTwo := b.value, b.pieces[i], b.pieces[j]
	fits := b.set(i, one)
	if j != i {
		fits = b.set(j, two) && !b.overdrawn(one) // the first may fit only once the second has given way
	}
	if fits && b.value.matches(before) {
		return true
	}
	b.set(i, oldOne)
	if j != i {
		b.set(j, oldTwo)
	}
	return false
}

func (b *book) overdrawn(pieces []Piece) bool {
	return slices.ContainsFunc(pieces, func(p Piece) bool { return p.Spool >= 0 && b.left[p.Spool] < 0 })
}
