package sequencing

import (
	"math/bits"
	"slices"
)

// construct gives the best of a pool of quick constructions: batches dealt to the machine that is free first, which takes by
// some rule the next one; and insertion of one batch after another in due order. Fixed batches keep the kept sequence.
func (t *tables) construct() [][]int32 {
	if t.fixed {
		return narrow(t.Kept)
	}
	pool := [][][]int32{t.insertion()}
	rules := []rule{{setupOnly: true}, {setupOnly: true, bucket: true}}
	for _, ahead := range []int64{1, 4} {
		for _, tenths := range []int64{1, 5} {
			rules = append(rules, rule{ahead: ahead, tenths: tenths})
		}
	}
	for _, r := range rules {
		pool = append(pool, t.deal(r))
	}
	if t.Kept != nil {
		pool = append(pool, narrow(t.Kept))
	}
	var best *chain
	for _, seqs := range pool {
		if c := newChain(t, seqs, 1); best == nil || c.value.Compare(best.value) < 0 {
			best = c
		}
	}
	return best.best
}

// rule says which batch a machine takes next: the one with least setup, perhaps only among the earliest due ones; or by
// apparent tardiness cost with setups (Lee, Bhaskaran and Pinedo, A heuristic to minimize the total weighted tardiness with
// sequence-dependent setups, IIE Trans. 29, 1997; from memory), scaled by the look-ahead k1 and tenths of k2.
type rule struct {
	setupOnly, bucket bool
	ahead, tenths     int64
}

// deal gives batches to the machine that is free first until none is left. A batch that only busier machines take waits.
func (t *tables) deal(r rule) [][]int32 {
	seqs := make([][]int32, len(t.Machines))
	states, work := make([]state, len(t.Machines)), make([]int64, len(t.Machines))
	for k := range t.Machines {
		states[k] = state{int32(-1 - k), t.loaded[k]}
	}
	used := make([]bool, t.n)
	meanRun, meanSetup, weight := t.means()
	for left := t.n; left > 0; {
		k, j := t.next(r, states, work, used, meanRun, meanSetup, weight)
		work[k] += int64(t.step(k, &states[k], j))*t.unit + t.run[k][j]
		seqs[k] = append(seqs[k], j)
		used[j] = true
		left--
	}
	return seqs
}

func (t *tables) next(r rule, states []state, work []int64, used []bool, meanRun, meanSetup int64, weight []int64) (int, int32) {
	order := make([]int, len(work))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(min(1, max(-1, work[a]-work[b]))) })
	bucket := far
	if r.bucket {
		for j := range t.n {
			if !used[j] {
				bucket = min(bucket, t.due[j])
			}
		}
	}
	for _, k := range order {
		best, most := int32(-1), int64(0)
		for j := range t.n {
			if used[j] || !t.takes[k][j] || (r.bucket && t.due[j] > bucket) {
				continue
			}
			st := states[k]
			setup := int64(t.step(k, &st, int32(j))) * t.unit
			index := -setup
			if !r.setupOnly {
				slack := max(0, t.due[j]-work[k]-setup-t.run[k][j])
				index = log2(weight[j]) - log2(t.run[k][j]) - slack/max(1, r.ahead*meanRun>>10) - 10*setup/max(1, r.tenths*meanSetup>>10)
			}
			if best < 0 || index > most {
				best, most = int32(j), index
			}
		}
		if best >= 0 {
			return k, best
		}
	}
	return 0, int32(slices.Index(used, false)) // no machine takes it: it must go somewhere
}

// means gives the mean winding and setup and, by batch, the weight of its orders.
func (t *tables) means() (run, setup int64, weight []int64) {
	weight = make([]int64, t.n)
	for j := range t.n {
		run += t.run[0][j]
		for _, o := range t.serves[j] {
			weight[j] += t.Orders[o].Weight
		}
	}
	return run / max(1, int64(t.n)), t.meanSetup(), weight
}

// log2 gives 1024 times the logarithm to base two, the fraction taken as linear.
func log2(v int64) int64 {
	if v <= 0 {
		return -1024
	}
	n := bits.Len64(uint64(v)) - 1
	fraction := (uint64(v) << (63 - n) >> 53) & 1023
	return int64(n)<<10 + int64(fraction)
}

// insertion puts the batches in, in due order, each where it adds least setup and overtime, the emptier machine first.
func (t *tables) insertion() [][]int32 {
	order := make([]int32, t.n)
	for j := range order {
		order[j] = int32(j)
	}
	slices.SortStableFunc(order, func(a, b int32) int { return int(min(1, max(-1, t.due[a]-t.due[b]))) })
	c := newChain(t, make([][]int32, len(t.Machines)), 1)
	for _, j := range order {
		bestK, bestAt, least := -1, 0, far
		for k := range c.lanes {
			if !t.takes[k][j] {
				continue
			}
			l := &c.lanes[k]
			over := max(0, c.work(l, len(l.seq))+t.run[k][j]-t.Machines[k].Regular)
			for at := range len(l.seq) + 1 {
				if cost := (c.inserted(k, at, j) * c.unit) + over; cost < least || (cost == least && c.work(l, len(l.seq)) < c.work(&c.lanes[bestK], len(c.lanes[bestK].seq))) {
					bestK, bestAt, least = k, at, cost
				}
			}
		}
		bestK = max(bestK, 0)
		l := &c.lanes[bestK]
		l.seq = slices.Insert(l.seq, bestAt, j)
		t.settle(bestK, l, bestAt)
	}
	seqs := make([][]int32, len(c.lanes))
	for k := range c.lanes {
		seqs[k] = c.lanes[k].seq
	}
	return seqs
}

// inserted gives the setup in units that a batch adds at a position.
func (c *chain) inserted(k, at int, j int32) int64 {
	l := &c.lanes[k]
	st := l.before[at]
	added := int64(c.step(k, &st, j))
	for i := at; i < len(l.seq) && st != l.before[i]; i++ {
		added += int64(c.step(k, &st, l.seq[i])) - (l.paid[i+1] - l.paid[i])
	}
	return added
}
