package planning

import (
	"windingroom/internal/batch"
	"windingroom/internal/stock"
)

// clash finds a spool that two machines would need at the same time, and gives the batch that should go: of the two machines'
// last batches on the spool the one whose first order is due later.
func (d *draft) clash(draws [][][]batch.Draw, courses []course) (machine, at int) {
	had := map[stock.SpoolCode][]span{} // only looked up, never walked
	for m := range d.lanes {
		for _, s := range spans(m, draws[m], &courses[m]) {
			for _, o := range had[s.spool] {
				if o.machine == m || !o.meets(s.from, s.till) {
					continue
				}
				one, two := o, s // which goes
				if d.firstDemand(o) <= d.firstDemand(s) {
					one, two = s, o
				}
				for _, goes := range []span{one, two} {
					if d.lanes[goes.machine].runs[goes.last].stands == nil {
						return goes.machine, goes.last
					}
				}
			}
			had[s.spool] = append(had[s.spool], s)
		}
	}
	return none, none
}

// firstDemand gives the first demand in due order that the last batch of a span may serve.
func (d *draft) firstDemand(s span) int {
	g := d.lanes[s.machine].runs[s.last].group
	for i := range d.demands {
		if d.groupOf[i] == g && d.planned[i] > 0 {
			return i
		}
	}
	return none
}

// part takes a batch out and keeps its group off the machine, so that it goes where the spool is, or waits.
func (d *draft) part(machine, at int) {
	d.barred[d.lanes[machine].runs[at].group*len(d.lanes)+machine] = true
	d.takeOut(machine, at)
}

// takes says whether a machine may wind a group.
func (d *draft) takes(group, machine int) bool {
	return machine != d.closed && !d.shut[machine] && !d.held[group] && d.groups[group].takes[machine] && !d.barred[group*len(d.lanes)+machine]
}
