package sequencing

// move is a change of one or two lanes: what each is made of anew. The first piece of a lane is its unchanged head.
type move struct {
	lanes  [2]int
	pieces [2][]piece
	count  int
}

func (m *move) begin() { m.count = 0 }

func (m *move) add(k int, pieces ...piece) {
	list := m.pieces[m.count][:0]
	for i, p := range pieces {
		if i == 0 || p.from < p.to {
			list = append(list, p)
		}
	}
	m.lanes[m.count], m.pieces[m.count] = k, list
	m.count++
}

// trial holds the completion times that a move would bring; round marks what is of this trial.
type trial struct {
	round   int32
	moved   []int32 // by batch: round
	done    []int64 // by batch
	touched []int32 // by order: round
	ready   []int64 // by order; negative: to be looked up
	orders  []int32 // touched ones
	owed    []int64 // of orders, in step with them
	seq     []int32
}

func newTrial(t *tables) trial {
	return trial{moved: make([]int32, t.n), done: make([]int64, t.n), touched: make([]int32, len(t.Orders)), ready: make([]int64, len(t.Orders)),
		owed: make([]int64, len(t.Orders))}
}

// attempt takes the prepared move over where it is allowed and its score within the limit.
func (c *chain) attempt(limit int64) {
	m := &c.move
	var setup, run [2]int64
	lanes := [2]int{-1, -1}
	for i := range m.count {
		lanes[i] = m.lanes[i]
		setup[i], run[i] = c.measure(m.lanes[i], m.pieces[i])
	}
	v := c.sums(lanes[0], lanes[1], setup[0], run[0], setup[1], run[1])
	score := c.score(v)
	if score > limit {
		return // whatever its lateness
	}
	for i := range m.count {
		if !c.allowed(m.lanes[i], m.pieces[i]) {
			return
		}
	}
	if len(c.Orders) > 0 {
		v.Late = c.value.Late + c.lateness()
		if score+c.Prices.Late*v.Late > limit {
			return
		}
	}
	c.take(v)
}

// lateness gives the change of lateness that the move brings.
func (c *chain) lateness() int64 {
	t := &c.trial
	t.round++
	t.orders = t.orders[:0]
	for i := range c.move.count {
		c.follow(c.move.lanes[i], c.move.pieces[i])
	}
	var change int64
	for i, o := range t.orders {
		if t.ready[o] < 0 {
			var ready int64
			for _, j := range c.Orders[o].Batches {
				if t.moved[j] == t.round {
					ready = max(ready, t.done[j])
				} else {
					ready = max(ready, c.done[j])
				}
			}
			t.ready[o] = ready
		}
		t.owed[i] = c.late(o, t.ready[o])
		change += t.owed[i] - c.owed[o]
	}
	return change
}

// follow works through a machine's new sequence after its head, until the rest of it is wound when it was.
func (c *chain) follow(k int, pieces []piece) {
	head := pieces[0]
	l := &c.lanes[k]
	st, work := l.before[head.to], c.work(l, head.to)
	last := len(pieces) - 1
	for n, p := range pieces {
		if n == 0 {
			continue
		}
		seq := c.lanes[p.lane].seq
		tail := n == last && p.lane == k && !p.turned
		for i := range p.to - p.from {
			j := seq[p.from+i]
			if p.turned {
				j = seq[p.to-1-i]
			}
			if tail && work == c.work(l, p.from+i) && st == l.before[p.from+i] {
				return
			}
			work += int64(c.step(k, &st, j))*c.unit + c.run[k][j]
			c.shift(j, c.wall(k, work))
		}
	}
}

// shift notes when a batch would be wound and what this means for its orders.
func (c *chain) shift(j int32, done int64) {
	t := &c.trial
	t.moved[j], t.done[j] = t.round, done
	old := c.done[j]
	if done == old {
		return
	}
	for _, o := range c.serves[j] {
		if t.touched[o] != t.round {
			if done < old && old < c.ready[o] {
				continue // another batch decides
			}
			t.touched[o] = t.round
			t.ready[o] = c.ready[o]
			t.orders = append(t.orders, o)
		}
		switch {
		case t.ready[o] < 0:
		case done > old:
			t.ready[o] = max(t.ready[o], done)
		case old == c.ready[o]:
			t.ready[o] = -1
		}
	}
}

// take carries the move out.
func (c *chain) take(v Value) {
	t := &c.trial
	m := &c.move
	var from [2]int
	var cut [2]int
	t.seq = t.seq[:0]
	for i := range m.count {
		for n, p := range m.pieces[i] {
			if n == 0 {
				continue
			}
			seq := c.lanes[p.lane].seq[p.from:p.to]
			at := len(t.seq)
			t.seq = append(t.seq, seq...)
			if p.turned {
				for a, b := at, len(t.seq)-1; a < b; a, b = a+1, b-1 {
					t.seq[a], t.seq[b] = t.seq[b], t.seq[a]
				}
			}
		}
		from[i], cut[i] = m.pieces[i][0].to, len(t.seq)
	}
	begin := 0
	for i := range m.count {
		l := &c.lanes[m.lanes[i]]
		l.seq = append(l.seq[:from[i]], t.seq[begin:cut[i]]...)
		begin = cut[i]
		c.settle(m.lanes[i], l, from[i])
		c.place(m.lanes[i], from[i])
	}
	for i, o := range t.orders {
		c.ready[o], c.owed[o] = t.ready[o], t.owed[i]
	}
	t.orders = t.orders[:0]
	c.value = v
	if v.Compare(c.least) < 0 {
		c.keep()
	}
}
