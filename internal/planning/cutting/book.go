package cutting

import (
	"windingroom/internal/measure"
)

const ngPerMg = 1_000_000

// book keeps the present choice and what it comes to.
type book struct {
	*Problem
	pieces [][]Piece
	left   []measure.Mass // by spool
	users  [][]int        // by spool and machine: pieces
	used   []int          // by spool: pieces
	value  Value
	tally  *tally // of orders and lots, once they count
}

func newBook(p *Problem) *book {
	b := &book{Problem: p, pieces: make([][]Piece, len(p.Batches)), used: make([]int, len(p.Spools)), users: make([][]int, len(p.Spools))}
	machines := 1
	for _, st := range p.Batches {
		machines = max(machines, st.Machine+1)
	}
	for s, spool := range p.Spools {
		b.left = append(b.left, spool.Free)
		b.users[s] = make([]int, machines)
	}
	return b
}

// Fits gives the most strings, up to a number, that a mass of wire makes. The mass of n strings rounds half up.
func Fits(mass measure.Mass, each measure.MassEach, most int) int {
	if each <= 0 {
		return most
	}
	n := (int64(mass)*ngPerMg + ngPerMg/2 - 1) / int64(each)
	return int(max(0, min(n, int64(most))))
}

// mass gives the wire that strings from..to of a stretch take: each load's share is one draw, rounded by itself.
func (st *Stretch) mass(from, to int) measure.Mass {
	var sum measure.Mass
	begin := 0
	for _, l := range st.Loads {
		end := begin + l.Strings
		if n := min(to, end) - max(from, begin); n > 0 {
			sum += l.Each.Times(int64(n))
		}
		begin = end
	}
	return sum
}

func (st *Stretch) strings() int {
	n := 0
	for _, l := range st.Loads {
		n += l.Strings
	}
	return n
}

// most gives how many strings from a position on a mass makes.
func (st *Stretch) most(from int, mass measure.Mass) int {
	begin, got := 0, 0
	for _, l := range st.Loads {
		end := begin + l.Strings
		if want := end - max(from, begin); want > 0 {
			n := Fits(mass, l.Each, want)
			got += n
			mass -= l.Each.Times(int64(n))
			if n < want {
				break
			}
		}
		begin = end
	}
	return got
}

// set gives a stretch other pieces and keeps the sums. It says whether every spool still holds what is drawn; where not, the
// caller sets the old pieces again.
func (b *book) set(i int, pieces []Piece) bool {
	b.apply(i, b.pieces[i], -1)
	b.pieces[i] = pieces
	return b.apply(i, pieces, 1)
}

func (b *book) apply(i int, pieces []Piece, sign int) bool {
	st := &b.Batches[i]
	at, ok := 0, true
	last := st.First
	for _, p := range pieces {
		if p.Spool < 0 {
			b.value.Unfilled += int64(sign*p.Strings) * int64(max(1, st.Priority))
			at += p.Strings
			continue
		}
		b.note(p.Spool, -1)
		b.left[p.Spool] -= measure.Mass(sign) * st.mass(at, at+p.Strings)
		b.used[p.Spool] += sign
		b.users[p.Spool][st.Machine] += sign
		b.note(p.Spool, 1)
		ok = ok && b.left[p.Spool] >= 0
		if p.Spool != last {
			b.value.Mounts += int64(sign)
			b.value.Cost += int64(sign) * b.Prices.Mount
		}
		last = p.Spool
		at += p.Strings
	}
	b.value.Cost += int64(sign) * b.Prices.Lot * int64(b.lots(pieces))
	if b.tally != nil {
		b.count(st, pieces, sign)
	}
	return ok
}

// lots counts the lots of a stretch beyond the first.
func (b *book) lots(pieces []Piece) int {
	n := 0
	for i := 1; i < len(pieces); i++ {
		if pieces[i].Spool >= 0 && pieces[i-1].Spool >= 0 && b.Spools[pieces[i].Spool].Lot != b.Spools[pieces[i-1].Spool].Lot {
			n++
		}
	}
	return n
}

// note adds what a spool's own state costs, or takes it off.
func (b *book) note(s int, sign int64) {
	if b.used[s] == 0 {
		return
	}
	spool := &b.Spools[s]
	if left := b.left[s]; left > 0 && left < spool.Usable {
		b.value.Scrap += measure.Mass(sign) * left
		b.value.Cost += sign * b.Prices.Scrap * int64(left)
	}
	b.value.Cost += sign * b.Prices.Age * int64(spool.Rank)
	machines := int64(0)
	for k, n := range b.users[s] {
		if n > 0 || (k == spool.Home) {
			machines++
		}
	}
	if machines > 1 {
		b.value.Shared += sign * (machines - 1)
		b.value.Cost += sign * b.Prices.Share * (machines - 1)
	}
}
