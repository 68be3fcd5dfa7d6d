package planning

import "windingroom/internal/batch"

// codes names the batches. One that has a code keeps it; so does one of the same strings as a batch before it, that on the same
// machine first. The others get numbers above all that were given on the day, in sequence, machine by machine, as wide as those.
func (d *draft) codes() [][]batch.Code {
	all, taken := d.inherited()
	last, width := d.lastNumber, 2
	if d.batches() > 99 {
		width = 3
	}
	see := func(code batch.Code) {
		n, digits := code.NumberOn(d.date)
		last, width = max(last, n), max(width, digits)
	}
	for code := range taken {
		see(code)
	}
	for _, b := range d.before {
		see(b.Code)
	}
	for m := range all {
		for at := range all[m] {
			if all[m][at] == "" {
				last++
				all[m][at] = batch.CodeOf(d.date, last, width)
			}
		}
	}
	return all
}

// inherited gives the codes that batches have or take over, none for new ones, and which those are.
func (d *draft) inherited() (all [][]batch.Code, taken map[batch.Code]bool) {
	all, taken = make([][]batch.Code, len(d.lanes)), map[batch.Code]bool{}
	for m := range d.lanes {
		for _, r := range d.lanes[m].runs {
			all[m] = append(all[m], r.code)
			if r.code != "" {
				taken[r.code] = true
			}
		}
	}
	for _, sameMachine := range []bool{true, false} {
		for m := range d.lanes {
			for at, r := range d.lanes[m].runs {
				g := &d.groups[r.group]
				for _, b := range d.before {
					if all[m][at] == "" && !taken[b.Code] && b.Recipe == g.recipe && b.Scale == g.scale && (b.Machine == d.machines[m].Code || !sameMachine) {
						all[m][at], taken[b.Code] = b.Code, true
					}
				}
			}
		}
	}
	return all, taken
}

func (d *draft) batches() int {
	n := 0
	for m := range d.lanes {
		n += len(d.lanes[m].runs)
	}
	return n
}
