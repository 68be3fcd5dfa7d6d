package planning

// admitWhole plans orders one at a time in due order, each whole or not at all, and gives the day with them and how many
// came in. Where large is set, an order too large for an empty day gets half of what its turn finds free, so that it moves
// on although it never fits.
func (d *draft) admitWhole(large bool) (*draft, int) {
	admitted := 0
	spare := &draft{}
	for _, order := range d.admission {
		if d.complete(order) {
			continue
		}
		if d.least(order) <= d.rooms() && d.cloneTo(spare).whole(order) {
			d, spare = spare, d
			if admitted++; admitted == 1 {
				spare = &draft{} // the first is the caller's
			}
		} else if large && d.tooLarge(order) {
			d.share(order)
		}
	}
	return d, admitted
}

// least gives the winding time that what an order still wants takes at least: each string more is one more to wind.
func (d *draft) least(order []int) int64 {
	var sum int64
	for _, i := range order {
		sum += int64(d.demands[i].Strings-d.planned[i]) * d.groups[d.groupOf[i]].each
	}
	return sum
}

// rooms gives the time that all machines have left.
func (d *draft) rooms() int64 {
	var sum int64
	for m := range d.lanes {
		sum += max(0, d.room(m))
	}
	return sum
}

func (d *draft) complete(order []int) bool {
	for _, i := range order {
		if d.planned[i] < d.demands[i].Strings {
			return false
		}
	}
	return true
}

// whole plans all that an order still wants; where it cannot, the draft is spoilt.
func (d *draft) whole(order []int) bool {
	for _, i := range order {
		if d.add(i) > 0 {
			return false
		}
	}
	return true
}

// add plans as many strings of a demand as fit and gives how many are left.
func (d *draft) add(demand int) int {
	left := d.demands[demand].Strings - d.planned[demand]
	if left == 0 {
		return 0
	}
	done := d.put(d.groupOf[demand], left)
	d.planned[demand] += done
	return left - done
}

// tooLarge says whether an order has no time even in an empty day.
func (d *draft) tooLarge(order []int) bool {
	large, known := d.large[order[0]]
	if !known {
		large = newDraft(d.shop).overflows(order)
		d.large[order[0]] = large
	}
	return large
}

// overflows says whether an order has no time in an empty day, which is then spoilt.
func (d *draft) overflows(order []int) bool {
	for _, i := range order {
		if left := d.add(i); left > 0 {
			g := d.groupOf[i]
			return d.noMachine(g) == "" && d.noWire(g, left) == ""
		}
	}
	return false
}

// share plans what fits of an order into half of the time each machine has left.
func (d *draft) share(order []int) {
	held := make([]int64, len(d.lanes))
	for m := range d.lanes {
		held[m] = max(0, d.room(m)/2)
		d.lanes[m].reserve += held[m]
	}
	d.parts(order)
	for m := range d.lanes {
		d.lanes[m].reserve -= held[m]
	}
}

// admitParts plans what fits of the orders that did not come in whole, in due order, and gives how many strings came in.
func (d *draft) admitParts() int {
	sum := 0
	for _, order := range d.admission {
		sum += d.parts(order)
	}
	return sum
}

func (d *draft) parts(order []int) int {
	sum := 0
	for _, i := range order {
		before := d.planned[i]
		d.add(i)
		sum += d.planned[i] - before
	}
	return sum
}
