package cutting

import (
	"cmp"
	"slices"

	"windingroom/internal/measure"
)

// gridUpTo bounds the sums that are looked at to find what a spool can give at most.
const gridUpTo = 200_000

// Bound gives what no choice of spools can undercut: unfilled strings and mounts; scrap can be nothing.
//
// Unfilled: a spool gives at most the largest sum of whole strings that it holds. What all together lack is taken from the
// strings with the least price for their mass. Mounts: a stretch needs as many spools as the largest of them, less the one
// that it finds.
func Bound(p Problem) (unfilled, mounts int64) {
	if unfilled = p.leastUnfilled(); unfilled > 0 {
		return unfilled, 0
	}
	return 0, p.leastMounts()
}

func (p *Problem) leastMounts() int64 {
	free := make([]measure.Mass, len(p.Spools))
	for s, spool := range p.Spools {
		free[s] = spool.Free
	}
	slices.Sort(free)
	slices.Reverse(free)
	var sum int64
	for i := range p.Batches {
		st := &p.Batches[i]
		left := st.lightest()
		need := int64(0)
		for _, f := range free {
			if left <= 0 || f <= 0 {
				break
			}
			left -= int64(f)*ngPerMg + ngPerMg*int64(len(st.Loads))
			need++
		}
		if st.First >= 0 {
			need--
		}
		sum += max(0, need)
	}
	return sum
}

// lightest gives the least ng that a stretch can take, roundings aside.
func (st *Stretch) lightest() int64 {
	var sum int64
	for _, l := range st.Loads {
		sum += int64(l.Each) * int64(l.Strings)
	}
	return sum
}

func (p *Problem) leastUnfilled() int64 {
	type kind struct {
		each    int64
		price   int64
		strings int64
	}
	var kinds []kind
	var want int64
	for i := range p.Batches {
		for _, l := range p.Batches[i].Loads {
			kinds = append(kinds, kind{int64(l.Each), int64(max(1, p.Batches[i].Priority)), int64(l.Strings)})
			want += int64(l.Each) * int64(l.Strings)
		}
	}
	for _, spool := range p.Spools {
		want -= p.gives(spool.Free, len(kinds))
	}
	slices.SortStableFunc(kinds, func(a, b kind) int { // least price for a mass first
		return cmp.Compare(a.price*b.each, b.price*a.each)
	})
	var sum int64
	for _, k := range kinds {
		if want <= 0 || k.each == 0 {
			break
		}
		n := want / k.each // whole strings; the last may be a part, whose price is rounded down to be sure
		if n >= k.strings {
			sum += k.strings * k.price
			want -= k.strings * k.each
			continue
		}
		sum += n * k.price
		if sum == 0 {
			return p.leastPrice()
		}
		return sum
	}
	return sum
}

func (p *Problem) leastPrice() int64 {
	least := int64(0)
	for i := range p.Batches {
		if pr := int64(max(1, p.Batches[i].Priority)); least == 0 || pr < least {
			least = pr
		}
	}
	return least
}

// gives returns the largest sum of strings, ng, that a spool can give: by the sums that can be reached on the grid of the
// greatest common divisor, where that is small enough; else all it holds.
func (p *Problem) gives(free measure.Mass, draws int) int64 {
	var unit int64
	var sizes []int64
	for i := range p.Batches {
		for _, l := range p.Batches[i].Loads {
			if l.Each <= 0 {
				return int64(free)*ngPerMg + ngPerMg/2*int64(draws)
			}
			if v := int64(l.Each); !slices.Contains(sizes, v) {
				sizes = append(sizes, v)
			}
			for a, b := int64(l.Each), unit; ; a, b = b, a%b {
				if b == 0 {
					unit = a
					break
				}
			}
		}
	}
	// A draw may round down by less than half a milligram for each kind of string.
	room := int64(free)*ngPerMg + ngPerMg/2*int64(draws)
	if unit == 0 || room/unit > gridUpTo {
		return room
	}
	reached := make([]bool, room/unit+1)
	reached[0] = true
	most := int64(0)
	for v := range reached {
		for _, size := range sizes {
			if n := v - int(size/unit); n >= 0 && reached[n] {
				reached[v] = true
				most = int64(v)
				break
			}
		}
	}
	return most * unit
}
