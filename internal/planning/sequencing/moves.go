package sequencing

const (
	longestMove    = 8
	longestReverse = 13
	redraws        = 6
)

// try makes one random change and keeps it where it is allowed and within the limit.
func (c *chain) try(limit int64) {
	j := int32(c.dice.Below(c.n))
	if c.value.Late > 0 && c.dice.Below(2) == 0 {
		for range redraws {
			if c.isLate(j) {
				break
			}
			j = int32(c.dice.Below(c.n))
		}
	}
	c.move.begin()
	switch kind := c.dice.Below(10); {
	case kind < 6:
		c.relocate(j)
	case kind < 8:
		c.swap(j)
	case kind < 9:
		c.reverse(j)
	default:
		c.exchange(j)
	}
	if c.move.count > 0 {
		c.attempt(limit)
	}
}

func (c *chain) isLate(j int32) bool {
	for _, o := range c.serves[j] {
		if c.owed[o] > 0 {
			return true
		}
	}
	return false
}

// beside picks a place to go to: mostly next to a batch that goes well with this one, else anywhere.
func (c *chain) beside(j int32) (machine, at int) {
	if near := c.near[j]; len(near) > 0 && c.dice.Below(4) > 0 {
		i := near[c.dice.Below(len(near))]
		return int(c.lane[i]), int(c.at[i])
	}
	k := c.dice.Below(len(c.lanes))
	return k, c.dice.Below(len(c.lanes[k].seq) + 1)
}

// relocate takes one or several batches to another place, sometimes turned round.
func (c *chain) relocate(j int32) {
	m, i := int(c.lane[j]), int(c.at[j])
	from := len(c.lanes[m].seq)
	n := 1
	switch c.dice.Below(8) {
	case 0, 1, 2:
		n += c.dice.Below(longestMove)
	case 3:
		n += c.dice.Below(max(longestMove, from/2))
	}
	n = min(n, from-i)
	to, at := c.beside(j)
	at = min(at+c.dice.Below(2), len(c.lanes[to].seq))
	block := piece{m, i, i + n, n > 1 && c.dice.Below(4) == 0}
	switch {
	case to != m:
		c.move.add(m, piece{m, 0, i, false}, piece{m, i + n, from, false})
		c.move.add(to, piece{to, 0, at, false}, block, piece{to, at, len(c.lanes[to].seq), false})
	case at < i:
		c.move.add(m, piece{m, 0, at, false}, block, piece{m, at, i, false}, piece{m, i + n, from, false})
	case at > i+n:
		c.move.add(m, piece{m, 0, i, false}, piece{m, i + n, at, false}, block, piece{m, at, from, false})
	}
}

// swap lets two batches change places.
func (c *chain) swap(j int32) {
	m, i := int(c.lane[j]), int(c.at[j])
	to, at := c.beside(j)
	if at >= len(c.lanes[to].seq) || (to == m && i == at) {
		return
	}
	one, two := piece{m, i, i + 1, false}, piece{to, at, at + 1, false}
	if to != m {
		c.move.add(m, piece{m, 0, i, false}, two, piece{m, i + 1, len(c.lanes[m].seq), false})
		c.move.add(to, piece{to, 0, at, false}, one, piece{to, at + 1, len(c.lanes[to].seq), false})
		return
	}
	if i > at {
		one, two, i, at = two, one, at, i
	}
	c.move.add(m, piece{m, 0, i, false}, two, piece{m, i + 1, at, false}, one, piece{m, at + 1, len(c.lanes[m].seq), false})
}

// reverse turns a few batches round.
func (c *chain) reverse(j int32) {
	m, i := int(c.lane[j]), int(c.at[j])
	end := len(c.lanes[m].seq)
	n := min(2+c.dice.Below(longestReverse-1), end-i)
	if n < 2 {
		return
	}
	c.move.add(m, piece{m, 0, i, false}, piece{m, i, i + n, true}, piece{m, i + n, end, false})
}

// exchange swaps the rest of two machines' days.
func (c *chain) exchange(j int32) {
	m, i := int(c.lane[j]), int(c.at[j])
	to, at := c.beside(j)
	if to == m {
		return
	}
	c.move.add(m, piece{m, 0, i, false}, piece{to, at, len(c.lanes[to].seq), false})
	c.move.add(to, piece{to, 0, at, false}, piece{m, i, len(c.lanes[m].seq), false})
}
