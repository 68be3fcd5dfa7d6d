package sequencing

import (
	"slices"

	"windingroom/internal/planning/dice"
)

// chain is one search: the present sequence with everything that is known of it, and the best one seen.
type chain struct {
	*tables
	dice  dice.Dice
	lanes []lane
	lane  []int32 // by batch: its machine
	at    []int32 // by batch: its position
	done  []int64 // by batch: when it is wound
	ready []int64 // by order: when it is complete
	owed  []int64 // by order: its lateness
	value Value
	least Value
	best  [][]int32

	move  move
	trial trial
}

func newChain(t *tables, seqs [][]int32, seed uint64) *chain {
	c := &chain{tables: t, dice: dice.Dice(seed), lane: make([]int32, t.n), at: make([]int32, t.n), done: make([]int64, t.n),
		ready: make([]int64, len(t.Orders)), owed: make([]int64, len(t.Orders))}
	c.trial = newTrial(t)
	for k := range t.Machines {
		l := t.newLane(k)
		l.seq = slices.Clone(seqs[k])
		t.settle(k, &l, 0)
		c.lanes = append(c.lanes, l)
		c.place(k, 0)
	}
	for o := range t.Orders {
		c.ready[o] = c.readyAt(o)
		c.owed[o] = t.late(int32(o), c.ready[o])
	}
	c.value = c.reckon()
	c.keep()
	return c
}

// place notes where the batches of a lane are and when they are wound, from a position on.
func (c *chain) place(k, from int) {
	l := &c.lanes[k]
	for i := from; i < len(l.seq); i++ {
		j := l.seq[i]
		c.lane[j], c.at[j], c.done[j] = int32(k), int32(i), c.wall(k, c.work(l, i+1))
	}
}

func (c *chain) readyAt(o int) int64 {
	var ready int64
	for _, j := range c.Orders[o].Batches {
		ready = max(ready, c.done[j])
	}
	return ready
}

func (c *chain) keep() {
	c.least = c.value
	if c.best == nil {
		c.best = make([][]int32, len(c.lanes))
	}
	for k := range c.lanes {
		c.best[k] = append(c.best[k][:0], c.lanes[k].seq...)
	}
}

// reckon gives the value of the present sequence from the lanes and the orders.
func (c *chain) reckon() Value {
	v := c.sums(-1, -1, 0, 0, 0, 0)
	for _, o := range c.owed {
		v.Late += o
	}
	return v
}

// sums gives the value without lateness, with other setup (units) and winding on up to two machines.
func (c *chain) sums(a, b int, setupA, runA, setupB, runB int64) Value {
	var v Value
	least, most := far, int64(0)
	for k := range c.lanes {
		l := &c.lanes[k]
		setup, run := l.setup(), l.run[len(l.seq)]
		switch k {
		case a:
			setup, run = setupA, runA
		case b:
			setup, run = setupB, runB
		}
		v.Setup += setup
		work := setup*c.unit + run
		v.Excess += max(0, work-c.Machines[k].Limit)
		v.Overtime += max(0, work-c.Machines[k].Regular)
		least, most = min(least, work), max(most, work)
	}
	v.Setup *= c.unit
	if most > 0 {
		v.Spread = most - least
	}
	v.Cost = c.Prices.Setup*v.Setup + c.Prices.Overtime*v.Overtime + c.Prices.Spread*v.Spread
	return v
}

// excessPrice makes the search leave sequences beyond a machine's limit soon.
const excessPrice = 20

// score is what the search makes less.
func (c *chain) score(v Value) int64 {
	score := c.Prices.Late*v.Late + v.Cost
	if v.Excess > 0 {
		score += excessPrice * max(1, c.Prices.Setup) * v.Excess
	}
	return score
}
