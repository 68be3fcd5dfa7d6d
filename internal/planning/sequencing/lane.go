package sequencing

// state is what a batch finds on a machine: the batch before it (-1-k: none yet on machine k) and the places.
type state struct {
	prev int32
	on   [MaxPlaces]int32
}

// lane is one machine's sequence with the sums up to each position; before, paid and run have one entry more than seq.
type lane struct {
	seq    []int32
	before []state
	paid   []int64 // setup before a position, units
	run    []int64 // winding before a position
}

func (t *tables) newLane(k int) lane {
	return lane{before: []state{{int32(-1 - k), t.loaded[k]}}, paid: []int64{0}, run: []int64{0}}
}

// step winds a batch on a machine and gives its setup in units.
func (t *tables) step(k int, st *state, j int32) int32 {
	mask := t.mask[j]
	var setup int32
	left := mask
	if st.prev < 0 {
		setup = t.first[k][j]
	} else {
		setup = t.pair[k][int(st.prev)*t.n+int(j)]
		left &^= t.mask[st.prev]
	}
	st.prev = j
	if mask == 0 {
		return setup
	}
	if left != 0 {
		setup += t.changed(&st.on, int(j), left)
	}
	wants := &t.wants[j]
	for p := range MaxPlaces {
		if mask&(1<<p) != 0 {
			st.on[p] = wants[p]
		}
	}
	return setup
}

// settle recomputes the sums from a position on.
func (t *tables) settle(k int, l *lane, from int) {
	l.before, l.paid, l.run = l.before[:from+1], l.paid[:from+1], l.run[:from+1]
	st, paid, run := l.before[from], l.paid[from], l.run[from]
	for _, j := range l.seq[from:] {
		paid += int64(t.step(k, &st, j))
		run += t.run[k][j]
		l.before, l.paid, l.run = append(l.before, st), append(l.paid, paid), append(l.run, run)
	}
}

func (l *lane) setup() int64 { return l.paid[len(l.seq)] }

// work gives the time up to a position.
func (t *tables) work(l *lane, at int) int64 { return l.paid[at]*t.unit + l.run[at] }

// piece is a part of a lane, taken over into a new sequence, turned round or not.
type piece struct {
	lane     int
	from, to int
	turned   bool
}

// measure gives setup (units) and winding of a machine whose new sequence is made of pieces. Where a piece finds the machine
// as it was, the rest of it costs what it cost before.
func (c *chain) measure(k int, pieces []piece) (setup, run int64) {
	st := c.lanes[k].before[0]
	for _, p := range pieces {
		l := &c.lanes[p.lane]
		if p.turned {
			for i := p.to - 1; i >= p.from; i-- {
				setup += int64(c.step(k, &st, l.seq[i]))
				run += c.run[k][l.seq[i]]
			}
			continue
		}
		i := p.from
		same := c.like[k] == c.like[p.lane]
		for i < p.to && !(same && st == l.before[i]) {
			setup += int64(c.step(k, &st, l.seq[i]))
			run += c.run[k][l.seq[i]]
			i++
		}
		if i < p.to {
			setup += l.paid[p.to] - l.paid[i]
			run += l.run[p.to] - l.run[i]
			st = l.before[p.to]
		}
	}
	return setup, run
}

// allowed says whether a machine takes all batches of its new sequence and fixed ones stay where they are.
func (c *chain) allowed(k int, pieces []piece) bool {
	at := 0
	for _, p := range pieces {
		if p.lane != k {
			takes := c.takes[k]
			for _, j := range c.lanes[p.lane].seq[p.from:p.to] {
				if !takes[j] {
					return false
				}
			}
		}
		if c.fixed && (p.lane != k || p.turned || at != p.from) {
			for _, j := range c.lanes[p.lane].seq[p.from:p.to] {
				if c.Batches[j].Fixed {
					return false
				}
			}
		}
		at += p.to - p.from
	}
	return true
}
