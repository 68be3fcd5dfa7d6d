package planning

import "slices"

// rounds bounds how often left-over strings are tried again after the sequence has been improved.
const rounds = 5

// Propose plans a day. It fails only on input that no plan can be made of, naming the recipe, machine or setting at fault;
// what does not fit into the day is part of the answer.
//
// Whole orders come in one at a time in due order, each string where it adds the least setup. The sequence is then improved
// and the time this frees is offered again. Orders that do not fit whole get what is left, in due order. Spools are chosen
// when the sequence stands, and the time their changes take is kept back on each machine.
func Propose(in Input) (Plan, error) {
	s, err := newShop(in)
	if err != nil {
		return Plan{}, err
	}
	d := s.plan()
	if slices.Contains(d.barred, true) { // machines wanted the same spool: is it better if they never do?
		pinned := *s
		pinned.pinning = true
		if p := pinned.plan(); p.fuller(d) {
			d = p
		}
	}
	return d.write(), nil
}

func (s *shop) plan() *draft {
	d := newDraft(s)
	for round := range rounds {
		var n int
		if d, n = d.admitWhole(round == 0); n == 0 {
			break
		}
		d = d.regroup()
		d.improve()
		d.trim()
	}
	for range rounds {
		if d.admitParts() == 0 {
			break
		}
		d = d.regroup()
		d.improve()
		d.trim()
	}
	return d
}

// fuller says whether a draft completes more orders than another, or as many with more strings.
func (d *draft) fuller(than *draft) bool {
	orders, strings := d.filled()
	least, fewest := than.filled()
	return orders > least || (orders == least && strings > fewest)
}

func (d *draft) filled() (orders, strings int) {
	for _, o := range d.orders {
		if d.complete(o) {
			orders++
		}
	}
	for _, n := range d.planned {
		strings += n
	}
	return orders, strings
}
