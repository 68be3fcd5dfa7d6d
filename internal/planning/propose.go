package planning

import (
	"cmp"
	"slices"
	"time"
)

// rounds bounds how often left-over strings are tried again after the sequence has been improved.
const rounds = 5

// Propose plans a day. It fails only on input that no plan can be made of, naming the recipe, machine or setting at fault;
// what does not fit into the day is part of the answer.
//
// Whole orders come in one at a time in due order, each string where it adds the least setup. The sequence is then improved
// and the time this frees is offered again. Orders that do not fit whole get what is left, in due order. Spools are chosen
// when the sequence stands, and the time their changes take is kept back on each machine. Where not everything fits, the day
// is also planned with the small orders of each due date first, and without machines that want the same spool.
func Propose(in Input) (Plan, error) {
	s, err := newShop(in)
	if err != nil {
		return Plan{}, err
	}
	return s.best(newDraft(s)).write(), nil
}

// best plans the day on from a draft in several ways and gives the fullest.
func (s *shop) best(begun *draft) *draft {
	d := begun.clone().plan()
	if s.quick {
		return d.squeeze(false).squeeze(true)
	}
	var ways []func(*shop)
	if slices.Contains(d.barred, true) { // machines wanted the same spool: is it better if they never do?
		ways = append(ways, (*shop).pin)
	}
	if !d.everything() {
		ways = append(ways, (*shop).smallFirst)
		if len(ways) > 1 {
			ways = append(ways, func(s *shop) { s.pin(); s.smallFirst() })
		}
		for m := range s.machines { // a spool may be in the way of another machine
			if d.batches() <= smallDay && len(s.machines) > 1 {
				ways = append(ways, func(s *shop) { s.closed, s.large = m, map[int]bool{} })
			}
		}
	}
	for _, way := range ways {
		if o := begun.another(d.shop, way); o.fuller(d) {
			d = o
		}
	}
	return begun.promote(d).roundOff()
}

// finished fills the day and rounds it off.
func (d *draft) finished() *draft { return d.clone().plan().roundOff() }

// roundOff puts in what a full day still has room for, in the best sequence and from the best spools that are found.
func (d *draft) roundOff() *draft {
	d = d.squeeze(false).polish()
	d.choose()
	return d.squeeze(true)
}

// another plans the day on from its beginning in a way of its own.
func (d *draft) another(s *shop, way func(*shop)) *draft {
	other := *s
	way(&other)
	c := d.clone()
	c.shop = &other
	if c = c.plan(); other.closed != none {
		c.shop = s
		c = c.plan()
	}
	return c
}

// Promotions are tried so often at most, fewer where a day has many batches.
const (
	promotions      = 12
	smallDay        = 60     // batches; closing machines, and promoting orders that want wire, is tried up to here
	promotionEffort = 80_000 // tries × batches × batches
)

// promote lets one order that was left out come in before the others due no later, and keeps that where more orders are
// complete for it.
func (d *draft) promote(best *draft) *draft {
	tries := min(promotions, promotionEffort/max(1, best.batches()*best.batches()))
	for _, order := range best.orders {
		if tries == 0 {
			break
		}
		if best.complete(order) || !best.promising(order) {
			continue
		}
		tries--
		o := d.another(best.shop, func(s *shop) {
			s.admission = slices.Clone(s.admission)
			at := slices.IndexFunc(s.admission, func(o []int) bool { return o[0] == order[0] })
			s.admission = slices.Insert(slices.Delete(s.admission, at, at+1), 0, order)
		})
		if o.fuller(best) {
			best = o
		}
	}
	return best
}

// promising says whether an order could be complete if it came in earlier; on a large day only where it wants nothing but time.
func (d *draft) promising(order []int) bool {
	for _, i := range order {
		left, g := d.demands[i].Strings-d.planned[i], d.groupOf[i]
		if left > 0 && (d.held[g] || d.noMachine(g) != "" || (d.batches() > smallDay && d.noWire(g, left) != "")) {
			return false
		}
	}
	return !d.tooLarge(order)
}

// plan fills the day.
func (d *draft) plan() *draft {
	for round := range rounds {
		var n int
		if d, n = d.admitWhole(round == 0); n == 0 && round > 0 {
			break
		}
		d = d.regroup().settled()
	}
	for range rounds {
		if d.admitParts() == 0 {
			break
		}
		d = d.regroup().settled()
	}
	return d
}

// settled gives the day in a better sequence with its spools chosen. Where machines then want a spool at the same time and strings
// have to go, the sequence stays as it was if it keeps more.
func (d *draft) settled() *draft {
	c := d.clone()
	c.improve(false)
	c.trim()
	if slices.Equal(c.planned, d.planned) {
		return c
	}
	d.trim()
	if c.fuller(d) {
		return c
	}
	return d
}

// pin lets machines keep the spools of scarce wires all day.
func (s *shop) pin() { s.pinning, s.large = true, map[int]bool{} }

// smallFirst lets the orders with least work come first among those due on one day, or overdue: where wire or time is short,
// more of them can be complete.
func (s *shop) smallFirst() {
	work := make([]int64, len(s.orders))
	for o, order := range s.orders {
		for _, i := range order {
			g := &s.groups[s.groupOf[i]]
			work[o] += int64(s.toWind(s.groupOf[i], s.demands[i].Strings)) * max(1, g.each)
		}
	}
	index := make([]int, len(s.orders))
	for o := range index {
		index[o] = o
	}
	due := func(o int) int { return int(max(s.demands[s.orders[o][0]].DueOn, s.date)) }
	slices.SortStableFunc(index, func(a, b int) int { return cmp.Or(cmp.Compare(due(a), due(b)), cmp.Compare(work[a], work[b])) })
	orders := make([][]int, len(index))
	for i, o := range index {
		orders[i] = s.orders[o]
	}
	s.admission = orders
}

// everything says whether all demands are planned.
func (d *draft) everything() bool {
	for i, n := range d.planned {
		if n < d.demands[i].Strings {
			return false
		}
	}
	return true
}

// orderWorth is what one more complete order may cost in winding and setup: else a day would be cut up for a small order that
// is not due for long. Common practice, no source.
const orderWorth = int64(time.Hour)

// fuller says whether a draft completes more of the orders that are due, or as many and is worth more.
func (d *draft) fuller(than *draft) bool {
	due, all := d.filled()
	least, fewest := than.filled()
	if due != least {
		return due > least
	}
	return orderWorth*int64(all-fewest)+d.gain()-than.gain() > 0
}

// filled counts the complete orders, and those of them that are due.
func (d *draft) filled() (due, all int) {
	for _, o := range d.orders {
		if d.complete(o) {
			all++
			if d.demands[o[0]].DueOn <= d.date {
				due++
			}
		}
	}
	return due, all
}

// gain gives the winding of all machines less their setup.
func (d *draft) gain() int64 {
	var sum int64
	for m := range d.lanes {
		sum += d.lanes[m].work
	}
	return sum - d.setup() - d.reserved()
}
