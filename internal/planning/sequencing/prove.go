package sequencing

import "slices"

// mostNodes bounds the proof: where machines are many, eight batches have too many sequences.
const mostNodes = 3_000_000

// proof tries all sequences, machine by machine, and leaves off where a beginning is no better than the best known.
type proof struct {
	*tables
	best  Value
	found [][]int32
	seqs  [][]int32
	used  []bool
	done  []int64
	least []int64 // by batch: the least setup it can pay, units
	nodes int
}

// prove looks for anything better than a known sequence; complete says that everything was looked at.
func (t *tables) prove(known [][]int32, value Value) (better [][]int32, complete bool) {
	if t.fixed {
		return nil, false
	}
	p := &proof{tables: t, best: value, seqs: make([][]int32, len(t.Machines)), used: make([]bool, t.n), done: make([]int64, t.n)}
	var rest int64
	for j := range t.n {
		least := int32(1 << 30)
		for k := range t.Machines {
			if !t.takes[k][j] {
				continue
			}
			for i := range t.n {
				if i != j {
					least = min(least, t.pair[k][i*t.n+j])
				}
			}
			st := state{int32(-1 - k), t.loaded[k]}
			least = min(least, t.step(k, &st, int32(j)))
		}
		p.least = append(p.least, int64(least))
		rest += int64(least)
	}
	st := state{-1, t.loaded[0]}
	p.try(0, st, 0, t.n, 0, rest, Value{}, far, 0)
	return p.found, p.nodes <= mostNodes
}

// try continues machine k, which has done so much work, with any batch that is left, or goes on to the next machine. Setup and
// rest are in units.
func (p *proof) try(k int, st state, work int64, left int, setup, rest int64, v Value, low, high int64) {
	if p.nodes++; p.nodes > mostNodes {
		return
	}
	m := &p.Machines[k]
	sum := v
	sum.Excess += max(0, work-m.Limit)
	sum.Overtime += max(0, work-m.Regular)
	sum.Late = p.lateSoFar()
	sum.Setup = (setup + rest) * p.unit
	sum.Cost = p.Prices.Setup*sum.Setup + p.Prices.Overtime*sum.Overtime
	if sum.Compare(p.best) >= 0 {
		return
	}
	for j := range p.n {
		if p.used[j] || !p.takes[k][j] {
			continue
		}
		on := st
		paid := int64(p.step(k, &on, int32(j)))
		p.used[j] = true
		p.seqs[k] = append(p.seqs[k], int32(j))
		end := work + paid*p.unit + p.run[k][j]
		p.done[j] = p.wall(k, end)
		p.try(k, on, end, left-1, setup+paid, rest-p.least[j], v, low, high)
		p.done[j] = 0
		p.seqs[k] = p.seqs[k][:len(p.seqs[k])-1]
		p.used[j] = false
	}
	low, high = min(low, work), max(high, work)
	if k+1 < len(p.Machines) {
		v.Excess, v.Overtime = sum.Excess, sum.Overtime
		p.try(k+1, state{int32(-2 - k), p.loaded[k+1]}, 0, left, setup, rest, v, low, high)
		return
	}
	if left > 0 {
		return
	}
	if high > 0 {
		sum.Spread = high - low
	}
	sum.Cost += p.Prices.Spread * sum.Spread
	if sum.Compare(p.best) < 0 {
		p.best = sum
		p.found = make([][]int32, len(p.seqs))
		for i, s := range p.seqs {
			p.found[i] = slices.Clone(s)
		}
	}
}

// lateSoFar gives the lateness that the batches in place bring about already.
func (p *proof) lateSoFar() int64 {
	var sum int64
	for o, order := range p.Orders {
		var ready int64
		for _, j := range order.Batches {
			ready = max(ready, p.done[j])
		}
		if ready > 0 {
			sum += p.late(int32(o), ready)
		}
	}
	return sum
}
