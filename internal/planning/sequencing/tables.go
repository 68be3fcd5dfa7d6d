package sequencing

import (
	"math/bits"
	"slices"
)

// tables is a problem made ready for the search.
type tables struct {
	*Problem
	n      int
	unit   int64     // of all setups: their greatest common divisor
	pair   [][]int32 // by machine: setup in units, from*n+to; machines that agree share one
	first  [][]int32 // by machine and batch
	run    [][]int64 // by machine and batch
	like   []int     // by machine: the first machine with the same pair and run
	takes  [][]bool  // by machine and batch
	wants  [][MaxPlaces]int32
	mask   []uint8 // by batch: the places it wants
	price  [MaxPlaces]int32
	loaded [][MaxPlaces]int32
	serves [][]int32 // by batch: its orders
	due    []int64   // by batch: the earliest of its orders
	fixed  bool      // some batch is fixed
	near   [][]int32
	free   []bool // by machine: no shifts, so that work is time
}

func compile(p *Problem) *tables {
	t := &tables{Problem: p, n: len(p.Batches)}
	t.unit = t.commonUnit()
	for k := range p.Machines {
		t.addMachine(k)
	}
	for i, price := range p.Places {
		t.price[i] = int32(price / t.unit)
	}
	t.serves, t.due = make([][]int32, t.n), make([]int64, t.n)
	for j, b := range p.Batches {
		var wants [MaxPlaces]int32
		var mask uint8
		for i, w := range b.Wants {
			if wants[i] = int32(w); w != 0 {
				mask |= 1 << i
			}
		}
		t.wants, t.mask = append(t.wants, wants), append(t.mask, mask)
		t.fixed = t.fixed || b.Fixed
		t.due[j] = far
	}
	for o, order := range p.Orders {
		for _, j := range order.Batches {
			t.serves[j] = append(t.serves[j], int32(o))
			t.due[j] = min(t.due[j], order.Due)
		}
	}
	t.addPairs()
	t.near = t.neighbours()
	return t
}

const far = int64(1) << 61 // later than any time

func (t *tables) addMachine(k int) {
	first, run, takes := make([]int32, t.n), make([]int64, t.n), make([]bool, t.n)
	for j, b := range t.Batches {
		first[j], run[j], takes[j] = int32(t.Start(k, j)/t.unit), b.Run[k], b.Takes[k]
	}
	var loaded [MaxPlaces]int32
	for i, w := range t.Machines[k].Loaded {
		loaded[i] = int32(w)
	}
	t.first, t.run, t.takes = append(t.first, first), append(t.run, run), append(t.takes, takes)
	t.loaded, t.free = append(t.loaded, loaded), append(t.free, len(t.Machines[k].Shifts) == 0)
}

// addPairs fills the tables of setups between two batches, the places that both want included.
func (t *tables) addPairs() {
	for k := range t.Machines {
		table := make([]int32, t.n*t.n)
		for i := range t.n {
			for j := range t.n {
				if i != j {
					table[i*t.n+j] = int32(t.Setup(k, i, j)/t.unit) + t.changed(&t.wants[i], j, t.mask[i]&t.mask[j])
				}
			}
		}
		like := k
		for o := range k {
			if slices.Equal(t.pair[o], table) && slices.Equal(t.run[o], t.run[k]) {
				like, table = t.like[o], t.pair[o]
				break
			}
		}
		t.pair, t.like = append(t.pair, table), append(t.like, like)
	}
}

// changed gives the price of the places in a mask that do not hold what a batch wants.
func (t *tables) changed(on *[MaxPlaces]int32, j int, mask uint8) int32 {
	var sum int32
	for ; mask != 0; mask &= mask - 1 {
		if p := bits.TrailingZeros8(mask); on[p] != t.wants[j][p] {
			sum += t.price[p]
		}
	}
	return sum
}

// commonUnit gives the greatest common divisor of all setups, so that the tables are small.
func (t *tables) commonUnit() int64 {
	var unit int64
	add := func(v int64) {
		for v != 0 {
			unit, v = v, unit%v
		}
	}
	for k := range t.Machines {
		for i := range t.n {
			add(t.Start(k, i))
			for j := range t.n {
				if i != j {
					add(t.Setup(k, i, j))
				}
			}
		}
	}
	for _, p := range t.Places {
		add(p)
	}
	return max(1, unit)
}

// wall gives when a machine has done so much work by its calendar.
func (t *tables) wall(k int, work int64) int64 {
	if t.free[k] {
		return work
	}
	shifts := t.Machines[k].Shifts
	for _, s := range shifts {
		if work <= s.Till-s.From {
			return s.From + work
		}
		work -= s.Till - s.From
	}
	return shifts[len(shifts)-1].Till + work
}

// late gives the weighted lateness of an order that is complete at a time.
func (t *tables) late(o int32, done int64) int64 {
	order := &t.Orders[o]
	over := done - order.Due
	if over <= 0 {
		return 0
	}
	if t.Tick > 1 {
		over = (over + t.Tick - 1) / t.Tick
	}
	return order.Weight * over
}
