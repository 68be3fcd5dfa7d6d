package planning

import "slices"

const (
	longestMove    = 8
	longestReverse = 13
)

// try makes one random change and keeps it where it is allowed and within the limit.
func (a *annealer) try(limit int64) {
	m, i := a.batch()
	switch kind := a.dice.below(10); {
	case kind < 6:
		a.move(m, i, limit)
	case kind < 8:
		a.swap(m, i, limit)
	case kind < 9:
		a.reverse(m, i, limit)
	default:
		a.exchange(m, i, limit)
	}
}

// batch picks a batch, each being as likely as every other.
func (a *annealer) batch() (machine, at int) {
	n := a.dice.below(a.batches)
	for n >= len(a.lanes[machine].runs) {
		n -= len(a.lanes[machine].runs)
		machine++
	}
	return machine, n
}

// beside picks a place to go to: mostly next to a batch that goes well with this one, else anywhere.
func (a *annealer) beside(group int) (machine, at int) {
	if near := a.near[group]; len(near) > 0 && a.dice.below(4) > 0 {
		g := near[a.dice.below(len(near))]
		m := a.at[g][a.dice.below(len(a.at[g]))]
		return m, a.lanes[m].find(g)
	}
	m := a.dice.below(len(a.lanes))
	return m, a.dice.below(len(a.lanes[m].runs) + 1)
}

// move takes one or several batches to another place, sometimes turned round.
func (a *annealer) move(m, i int, limit int64) {
	from := a.lanes[m].runs
	n := 1
	if a.dice.below(2) == 0 {
		n = min(n+a.dice.below(longestMove), len(from)-i)
	}
	to, j := a.beside(from[i].group)
	j = min(j+a.dice.below(2), len(a.lanes[to].runs))
	turned := a.dice.below(4) == 0
	if to == m && j >= i && j <= i+n {
		return
	}
	a.one = append(append(a.one[:0], from[:i]...), from[i+n:]...)
	if to != m {
		onto := a.lanes[to].runs
		a.two = append(append(append(a.two[:0], onto[:j]...), from[i:i+n]...), onto[j:]...)
		if turned {
			slices.Reverse(a.two[j : j+n])
		}
		a.accept(limit, change{m, a.one, i, len(from) - i - n}, change{to, a.two, j, len(onto) - j})
		return
	}
	same := len(from) - max(i+n, j)
	if j > i {
		j -= n
	}
	a.one = slices.Insert(a.one, j, from[i:i+n]...)
	if turned {
		slices.Reverse(a.one[j : j+n])
	}
	a.accept(limit, change{m, a.one, min(i, j), same})
}

// swap lets two batches change places.
func (a *annealer) swap(m, i int, limit int64) {
	to, j := a.beside(a.lanes[m].runs[i].group)
	if j >= len(a.lanes[to].runs) || (to == m && i == j) {
		return
	}
	a.one = append(a.one[:0], a.lanes[m].runs...)
	if to == m {
		a.one[i], a.one[j] = a.one[j], a.one[i]
		a.accept(limit, change{m, a.one, min(i, j), len(a.one) - 1 - max(i, j)})
		return
	}
	a.two = append(a.two[:0], a.lanes[to].runs...)
	a.one[i], a.two[j] = a.two[j], a.one[i]
	a.accept(limit, change{m, a.one, i, len(a.one) - 1 - i}, change{to, a.two, j, len(a.two) - 1 - j})
}

// reverse turns a few batches round.
func (a *annealer) reverse(m, i int, limit int64) {
	n := min(2+a.dice.below(longestReverse-1), len(a.lanes[m].runs)-i)
	if n < 2 {
		return
	}
	a.one = append(a.one[:0], a.lanes[m].runs...)
	slices.Reverse(a.one[i : i+n])
	a.accept(limit, change{m, a.one, i, len(a.one) - i - n})
}

// exchange swaps the rest of two machines' days.
func (a *annealer) exchange(m, i int, limit int64) {
	to, j := a.beside(a.lanes[m].runs[i].group)
	if to == m {
		return
	}
	from, onto := a.lanes[m].runs, a.lanes[to].runs
	a.one = append(append(a.one[:0], from[:i]...), onto[j:]...)
	a.two = append(append(a.two[:0], onto[:j]...), from[i:]...)
	a.accept(limit, change{m, a.one, i, 0}, change{to, a.two, j, 0})
}

// leave takes the batches that a change touches off its machine's account; enter puts them on again as changed.
func (a *annealer) leave(c *change) {
	l := &a.lanes[c.machine]
	for _, r := range l.runs[c.from : len(l.runs)-c.same] {
		l.work -= int64(r.toWind) * a.groups[r.group].each
		i := slices.Index(a.at[r.group], c.machine)
		a.at[r.group] = slices.Delete(a.at[r.group], i, i+1)
	}
}

func (a *annealer) enter(c *change) {
	l := &a.lanes[c.machine]
	l.runs = append(l.runs[:0], c.runs...)
	for _, r := range l.runs[c.from : len(l.runs)-c.same] {
		l.work += int64(r.toWind) * a.groups[r.group].each
		a.at[r.group] = append(a.at[r.group], c.machine)
	}
	l.settle(a.shop, c.from)
}
