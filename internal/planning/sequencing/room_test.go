package sequencing

import (
	"math/rand/v2"
	"slices"
)

// Times in seconds; setup minutes as the contract has them.
const (
	minute    = int64(60)
	day       = 480 * minute
	coreTime  = 6 * minute
	wrapTime  = 4 * minute
	lenTime   = 2 * minute
	noDues    = false
	mixedDues = true
)

type spec struct{ core, wrap, length int }

func change(a, b spec) int64 {
	var s int64
	if a.core != b.core {
		s += coreTime
	}
	if a.wrap != b.wrap {
		s += wrapTime
	}
	if a.length != b.length {
		s += lenTime
	}
	return s
}

// room is an invented but lifelike day: 60 gauges over 12 cores and 14 wraps, 10 lengths, orders of 4 to 7 strings that share
// batches, 4 machines of which 2 take the bass strings, dues at noon, at the end of the shift or on the next day. Winding and
// the least setup fill the wanted share of the machines' time.
func room(seed uint64, n int, dues bool, load int64) Problem {
	r := rand.New(rand.NewPCG(seed, uint64(n)))
	type gauge struct{ core, wrap int }
	gauges := make([]gauge, 60)
	for i := range gauges {
		gauges[i] = gauge{1 + i/5, 1 + (i*14/60+i%5)%14} // five wraps to a core, all different
	}
	p := Problem{Tick: minute, Prices: Prices{Late: 160, Setup: 16, Overtime: 16, Spread: 1}}
	specs, bass := roomBatches(r, n, func(g int) (int, int) { return gauges[g].core, gauges[g].wrap }, &p, dues)
	starts := make([]spec, 4)
	for k := range starts {
		g := gauges[r.IntN(60)]
		starts[k] = spec{g.core, g.wrap, 1 + r.IntN(10)}
		p.Machines = append(p.Machines, Machine{Regular: day, Limit: far})
	}
	p.Start = func(k, to int) int64 { return change(starts[k], specs[to]) }
	p.Setup = func(_, from, to int) int64 { return change(specs[from], specs[to]) }
	weight := make([]int64, n)
	var sum int64
	for j := range weight {
		weight[j] = int64(5 + r.IntN(50))
		sum += weight[j]
	}
	for j := range n {
		p.Batches = append(p.Batches, Batch{Run: make([]int64, 4), Takes: []bool{true, true, !bass[j], !bass[j]}})
	}
	budget := max(int64(n)*20, 4*day*load/100-Bound(p).Setup)
	for j := range n {
		for k := range 4 {
			p.Batches[j].Run[k] = weight[j] * budget / sum
		}
	}
	return p
}

func roomBatches(r *rand.Rand, n int, gauge func(int) (core, wrap int), p *Problem, dues bool) ([]spec, []bool) {
	index := map[spec]int{}
	var specs []spec
	var bass []bool
	for len(specs) < n {
		length, first := 1+min(r.IntN(10), r.IntN(10)), r.IntN(52)
		o := Order{Due: day, Weight: []int64{1, 1, 1, 2, 4}[r.IntN(5)]}
		switch roll := r.IntN(10); {
		case !dues:
			o.Due = far
		case roll < 3:
			o.Due = day / 2
		case roll >= 7:
			o.Due = 3 * day
		}
		for i := range 4 + r.IntN(4) {
			core, wrap := gauge(min(59, first+i*2))
			s := spec{core, wrap, length}
			j, known := index[s]
			if !known && len(specs) < n {
				j, known = len(specs), true
				index[s] = j
				specs, bass = append(specs, s), append(bass, first+i*2 >= 50)
			}
			if known && !slices.Contains(o.Batches, j) {
				o.Batches = append(o.Batches, j)
			}
		}
		if len(o.Batches) > 0 {
			p.Orders = append(p.Orders, o)
		}
	}
	return specs, bass
}

// dueOrder deals the batches in due order to the machine that is free first, whatever the setup.
func dueOrder(p Problem) Result {
	t := compile(&p)
	order := make([]int, t.n)
	for j := range order {
		order[j] = j
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(min(1, max(-1, t.due[a]-t.due[b]))) })
	return dealt(p, t, order)
}

// grouped deals them likewise, in the order of what they load.
func grouped(p Problem) Result {
	t := compile(&p)
	order := make([]int, t.n)
	for j := range order {
		order[j] = j
	}
	used := make([]bool, t.n)
	at := 0
	for i := range order {
		used[at], order[i] = true, at
		next := -1
		for j := range t.n {
			if !used[j] && (next < 0 || t.pair[0][at*t.n+j] < t.pair[0][at*t.n+next]) {
				next = j
			}
		}
		at = next
	}
	return dealt(p, t, order)
}

func dealt(p Problem, t *tables, order []int) Result {
	seqs := make([][]int, len(t.Machines))
	work := make([]int64, len(t.Machines))
	last := make([]int, len(t.Machines))
	for _, j := range order {
		best := -1
		for k := range work {
			if t.takes[k][j] && (best < 0 || work[k] < work[best]) {
				best = k
			}
		}
		if len(seqs[best]) == 0 {
			work[best] += p.Start(best, j)
		} else {
			work[best] += p.Setup(best, last[best], j)
		}
		work[best] += t.run[best][j]
		last[best] = j
		seqs[best] = append(seqs[best], j)
	}
	return Evaluate(p, seqs)
}
