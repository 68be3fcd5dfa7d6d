package planning

import (
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/measure"
)

// draft is a day being planned: the lanes, how many strings of each demand are in, and how much of each wire they take.
// Which order's strings go into which of a group's batches is settled when the plan is written out.
type draft struct {
	*shop
	lanes   []lane
	planned []int            // by demand
	taken   []int64          // by wire, ng
	barred  []bool           // by group and machine: kept off because its spool is needed on another machine
	shut    []bool           // by machine: takes nothing more
	chosen  [][][]batch.Draw // by machine and batch; trim sets it
	held    []bool           // by group: not wound today
	owed    []int64          // by group: how much longer than reckoned its next batch takes, ns
	optimal bool             // no other sequence of its batches is better
	loose   bool             // the search may put parts of a group on one machine
}

func newDraft(s *shop) *draft {
	d := &draft{shop: s, planned: make([]int, len(s.demands)), taken: make([]int64, len(s.wires)),
		barred: make([]bool, len(s.groups)*len(s.machines)), held: make([]bool, len(s.groups)), owed: make([]int64, len(s.groups)), shut: make([]bool, len(s.machines)), chosen: make([][][]batch.Draw, len(s.machines))}
	for i := range s.machines {
		d.lanes = append(d.lanes, newLane(s.starts[i]))
	}
	return d
}

func (d *draft) clone() *draft { return d.cloneTo(&draft{}) }

// cloneTo clones into a draft that nobody needs any more, in the memory that it has.
func (d *draft) cloneTo(c *draft) *draft {
	c.shop, c.optimal = d.shop, d.optimal
	c.planned, c.taken, c.owed = append(c.planned[:0], d.planned...), append(c.taken[:0], d.taken...), append(c.owed[:0], d.owed...)
	c.barred, c.shut, c.held = append(c.barred[:0], d.barred...), append(c.shut[:0], d.shut...), append(c.held[:0], d.held...)
	c.chosen = append(c.chosen[:0], d.chosen...)
	if len(c.lanes) != len(d.lanes) {
		c.lanes = make([]lane, len(d.lanes))
	}
	for m := range d.lanes {
		d.lanes[m].cloneTo(&c.lanes[m])
	}
	return c
}

// room gives the time a machine has left; it is negative where the day is overfull.
func (d *draft) room(machine int) int64 {
	l := &d.lanes[machine]
	return d.capacity[machine] - l.work - l.setup() - l.reserve
}

func (d *draft) setup() int64 {
	var sum int64
	for i := range d.lanes {
		sum += d.lanes[i].setup()
	}
	return sum
}

// change sets how many ordered strings a batch winds; position at of the machine's lane. A batch of none is taken out.
func (d *draft) change(machine, at, ordered int) {
	l := &d.lanes[machine]
	r := &l.runs[at]
	toWind := d.toWind(r.group, ordered)
	d.count(machine, r.group, toWind-r.toWind)
	r.ordered, r.toWind = ordered, toWind
	if ordered == 0 {
		d.owed[r.group] += r.delay
		l.work -= r.delay
		l.runs = slices.Delete(l.runs, at, at+1)
		l.settle(d.shop, at)
	}
}

// insert puts a new batch at a position. What is known of its strings' delay goes with it.
func (d *draft) insert(machine, at, group, ordered int) {
	l := &d.lanes[machine]
	l.runs = slices.Insert(l.runs, at, run{group: group, delay: d.owed[group]})
	l.work += d.owed[group]
	d.owed[group] = 0
	l.settle(d.shop, at)
	d.change(machine, at, ordered)
}

func (d *draft) count(machine, group, strings int) {
	g := &d.groups[group]
	d.lanes[machine].work += int64(strings) * g.each
	for _, u := range g.uses {
		d.taken[u.wire] += int64(strings) * int64(u.each)
	}
}

const ngPerMg = 1_000_000

func nanograms(m measure.Mass) int64 { return int64(m) * ngPerMg }
