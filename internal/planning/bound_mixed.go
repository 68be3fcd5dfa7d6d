package planning

import "slices"

// boundMixed bounds the setup of a day on which plain and wound strings share machines. A tree over all batches says little of it:
// a plain batch leaves the wraps alone, so every wound batch is near every other by way of one.
//
// Proof. Take the plain batches out of a plan. Wraps are paid as before; core and length cost no more than before, since what
// differs between two batches differs somewhere on the way from one to the other. What is left is a plan of the wound batches, and
// costs no less than their own bound (splits). Now put the plain ones back, stretch by stretch between two wound batches, or behind
// the last. Call a core that only plain batches want, and no machine has loaded, their own.
//
// Each time a stretch comes to an own core, it pays a change into it, and if a wound batch follows, one more out of the last;
// without the stretch there was at most one. So each visit of an own core costs a change of core. A visit of m lengths has m-1
// changes of length inside; a stretch saves at most one change of length, so that each visit costs at least m-2 of them. A core
// visited q times therefore costs q changes of core and, of its lengths in all, those beyond 2q in changes of length; the least
// over q counts. In the same way each length that only plain batches want costs one change: lengths are bounded by the larger of
// the two.
func (d *draft) boundMixed(all []target) int64 {
	plain, wound := parted(all)
	if len(plain) == 0 || len(wound) == 0 {
		return 0
	}
	best := d.splits(wound)
	cores, ownLengths := d.own(0, plain, wound), d.own(attributes-1, plain, wound)
	var byCore, lengths int64
	for _, core := range cores {
		least := d.rates.visits(lengthsOf(core, plain))
		byCore += least
		lengths += least - d.rates.core
	}
	return best + byCore + max(0, int64(len(ownLengths))*d.rates.length-lengths)
}

// visits gives the least that coming to a core of so many lengths costs.
func (r rates) visits(lengths int) int64 {
	least := r.core + r.length*int64(max(0, lengths-2))
	for q := 2; q <= lengths; q++ {
		least = min(least, r.core*int64(q)+r.length*int64(max(0, lengths-2*q)))
	}
	return least
}

// parted gives the plain and the wound ones.
func parted(all []target) (plain, wound []target) {
	for _, t := range all {
		if t.wants[1] == none && t.wants[2] == none && t.wants[3] == none {
			plain = append(plain, t)
		} else {
			wound = append(wound, t)
		}
	}
	return plain, wound
}

// own gives the values of an attribute that only plain batches want and no machine has loaded.
func (d *draft) own(attribute int, plain, wound []target) []int64 {
	var values []int64
	for _, p := range plain {
		v := p.wants[attribute]
		if !slices.ContainsFunc(wound, func(w target) bool { return w.wants[attribute] == v }) &&
			!slices.ContainsFunc(d.starts, func(f fitting) bool { return attributesOf(&f)[attribute] == v }) {
			values = append(values, v)
		}
	}
	slices.Sort(values)
	return slices.Compact(values)
}

// lengthsOf counts the lengths that plain batches of a core want.
func lengthsOf(core int64, plain []target) int {
	var values []int64
	for _, p := range plain {
		if p.wants[0] == core {
			values = append(values, p.wants[attributes-1])
		}
	}
	slices.Sort(values)
	return len(slices.Compact(values))
}
