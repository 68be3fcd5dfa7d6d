package planning

import (
	"reflect"
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// Replan makes a day's plan anew round what is kept of it. A batch that is released or finished stays where it is, with its
// orders and spools, unless a change moves it; so does one that is pinned, at its place. With no change, and where the room
// still bears it, the plan is given back as it is.
//
// Input is the room without the released batches: neither their strings are among the demands nor their wire among the free.
func Replan(in Input, kept Plan, changes Changes) (Plan, error) {
	r, err := revise(in, kept)
	if err != nil {
		return Plan{}, err
	}
	if reflect.DeepEqual(changes, Changes{}) && r.unchanged() {
		return kept, nil
	}
	for _, h := range changes.Resume {
		if g := r.groupNamed(h.Recipe, h.Scale); g != none {
			r.held[g] = false
		}
	}
	if err := r.apply(changes); err != nil {
		return Plan{}, err
	}
	r.joinTwins()
	r.draft.trim()
	return r.finished().write(), nil
}

// revise begins a day with what is kept of it.
func revise(in Input, kept Plan) (*revision, error) {
	var extra []groupKey
	for _, b := range batchesOf(kept) {
		if b.Status != batch.Proposed {
			extra = append(extra, groupKey{b.Recipe, b.Scale})
		}
	}
	if in.Before == nil {
		in.Before = batchesOf(kept)
	}
	s, err := newShop(in, extra...)
	if err != nil {
		return nil, err
	}
	return &revision{draft: s.draftOf(kept), kept: kept}, nil
}

func (s *shop) groupNamed(b catalog.RecipeCode, scale measure.Size) int {
	return slices.IndexFunc(s.groups, func(g group) bool { return g.recipe == b && g.scale == scale })
}

// draftOf puts a kept plan into a draft, as far as machines and strings are still there.
func (s *shop) draftOf(kept Plan) *draft {
	d := newDraft(s)
	for _, h := range kept.Held {
		if g := s.groupNamed(h.Recipe, h.Scale); g != none {
			d.held[g] = true
		}
	}
	for _, l := range kept.Delayed {
		if g := s.groupNamed(l.Recipe, l.Scale); g != none {
			d.owed[g] = int64(l.By)
		}
	}
	for _, day := range kept.Machines {
		m := slices.IndexFunc(s.machines, func(m Machine) bool { return m.Code == day.Machine })
		var chosen [][]batch.Draw
		for i := range day.Batches {
			b := &day.Batches[i]
			g := s.groupNamed(b.Recipe, b.Scale)
			if m == none || g == none {
				continue
			}
			if d.readmit(m, g, b, slices.Contains(kept.Pinned, b.Code)) {
				chosen = append(chosen, b.Draws)
			}
		}
		if m != none {
			d.chosen[m] = chosen
		}
	}
	return d
}

// readmit puts a batch of a kept plan at the end of a machine's day, with the strings that are still wanted.
func (d *draft) readmit(m, g int, b *batch.Batch, pinned bool) bool {
	l := &d.lanes[m]
	r := run{group: g, fixed: pinned, code: b.Code}
	if b.Status != batch.Proposed {
		r.stands, r.fixed = b, true
		r.ordered, r.toWind = b.Ordered, b.ToWind
		r.delay = int64(b.Run) - int64(b.ToWind)*d.groups[g].each
		l.paste(d.shop, len(l.runs), r, d.winding(&r))
		return true
	}
	ordered := 0
	for _, sv := range b.Serves {
		for i := range d.demands {
			dm := &d.demands[i]
			if dm.Order == sv.Order && dm.Line == sv.Line && dm.Position == sv.Position && d.groupOf[i] == g {
				n := min(sv.Strings, dm.Strings-d.planned[i])
				d.planned[i] += n
				ordered += n
			}
		}
	}
	if ordered == 0 {
		d.owed[g] += int64(b.Delay)
		return false
	}
	l.paste(d.shop, len(l.runs), r, 0)
	at := len(l.runs) - 1
	d.change(m, at, ordered)
	l.runs[at].delay += int64(b.Delay)
	l.work += int64(b.Delay)
	return true
}

// unchanged says whether the kept plan is what the draft says, leaves out what it left out, and finds its wire.
func (r *revision) unchanged() bool {
	for m := range r.lanes {
		if len(r.chosen[m]) != len(r.lanes[m].runs) {
			return false
		}
	}
	r.keepBack(r.chosen)
	if r.overfull() != none {
		return false
	}
	now := r.write()
	if !reflect.DeepEqual(now.Machines, r.kept.Machines) || len(now.NotPlanned) != len(r.kept.NotPlanned) {
		return false
	}
	for i, n := range now.NotPlanned {
		k := r.kept.NotPlanned[i]
		if n.Order != k.Order || n.Line != k.Line || n.Position != k.Position || n.Strings != k.Strings {
			return false
		}
	}
	return r.wireIsThere()
}

func (r *revision) wireIsThere() bool {
	free := map[stock.SpoolCode]measure.Mass{}
	for _, w := range r.wires {
		for _, s := range w.spools {
			free[s.code] = s.free
		}
	}
	for m := range r.lanes {
		for at, run := range r.lanes[m].runs {
			if run.stands != nil {
				continue
			}
			for _, dr := range r.chosen[m][at] {
				if free[dr.Spool] -= dr.Mass; free[dr.Spool] < 0 {
					return false
				}
			}
		}
	}
	return true
}

// joinTwins makes one of two batches of a group on a machine that nothing keeps apart.
func (d *draft) joinTwins() {
	for m := range d.lanes {
		l := &d.lanes[m]
		for at := len(l.runs) - 1; at > 0; at-- {
			r := &l.runs[at]
			first := l.find(r.group)
			if r.stands != nil || r.fixed || r.apart || first < 0 || first >= at || l.runs[first].fixed || l.runs[first].apart {
				continue
			}
			d.optimal = false
			n := l.runs[first].ordered + r.ordered
			d.change(m, at, 0)
			d.change(m, first, n)
			l.runs[first].delay += d.owed[l.runs[first].group]
			l.work += d.owed[l.runs[first].group]
			d.owed[l.runs[first].group] = 0
		}
	}
}

// takeOut takes a batch out of the day and its strings with it.
func (d *draft) takeOut(machine, at int) {
	r := d.lanes[machine].runs[at]
	left := r.ordered
	for i := len(d.demands) - 1; i >= 0 && left > 0; i-- {
		if d.groupOf[i] == r.group {
			n := min(left, d.planned[i])
			d.planned[i] -= n
			left -= n
		}
	}
	d.change(machine, at, 0)
}

// servedBy says whether a batch that stands serves an order.
func servedBy(r *run, code order.Code) bool {
	return r.stands != nil && slices.ContainsFunc(r.stands.Serves, func(s batch.Serve) bool { return s.Order == code })
}
