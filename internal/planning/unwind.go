package planning

import (
	"windingroom/internal/measure"
	"windingroom/internal/planning/cutting"
)

const (
	defaultScrapPerMount = 200 * measure.Millimetre // common practice, no source
	scrapPrice           = 1_000                    // of a milligram
	lotPrice             = 60                       // of each further lot; less than anything that costs time or wire
	agePrice             = 1                        // of each place in the order of age
	sharePrice           = 50                       // mounts, of a spool that two machines want
)

// unwind gives spools to the stretches of a wire and says whether all found wire. Told whom the batches serve, it searches longer.
//
// A stretch goes on with the spool it finds loaded, since that saves a change. Otherwise spools are chosen for the least sum of
// changes and of wire that is left below the usable end, the owner's rate of exchange between the two being a length of
// string; then for the oldest and for one lot, in a stretch and in an order, where that costs nothing. A spool is left to the
// machine that has it, if possible.
func (d *draft) unwind(wire int, stretches []stretch, shared served) ([]cut, bool) {
	w := &d.wires[wire]
	p := cutting.Problem{Prices: w.prices(d.scrapPerMount), Effort: -1}
	if shared != nil {
		p.Effort = 0
	}
	lots := map[string]int{"": 0}
	for i, s := range w.spools {
		lot, known := lots[s.lot]
		if !known {
			lot = len(lots)
			lots[s.lot] = lot
		}
		p.Spools = append(p.Spools, cutting.Spool{Free: s.free, Usable: s.usable, Rank: i, Lot: lot, Home: s.home})
	}
	for _, st := range stretches {
		p.Batches = append(p.Batches, st.forCutting())
	}
	if shared != nil {
		shared.mark(stretches, p.Batches)
	}
	r := cutting.Solve(p)
	if r.Value.Unfilled > 0 {
		return nil, false
	}
	var cuts []cut
	for i := range stretches {
		cuts = append(cuts, stretches[i].cuts(r.Pieces[i])...)
	}
	return cuts, true
}

func (st *stretch) forCutting() cutting.Stretch {
	loads := make([]cutting.Load, len(st.loads))
	for i, l := range st.loads {
		loads[i] = cutting.Load{Each: l.each, Strings: l.strings}
	}
	return cutting.Stretch{Machine: st.machine, First: st.first, Loads: loads}
}

// arrange orders the cuts of each batch so that spools are changed least often.
func arrange(stretches []stretch, cuts []cut) []cut {
	var all []cut
	for i := range stretches {
		st := &stretches[i]
		var pieces []cutting.Piece
		for _, l := range st.loads {
			for _, c := range cuts {
				if c.machine == l.machine && c.at == l.at {
					pieces = append(pieces, cutting.Piece{Spool: c.spool, Strings: c.strings})
				}
			}
		}
		problem := st.forCutting()
		all = append(all, st.cuts(problem.Arrange(pieces))...)
	}
	return all
}

// prices sets what a change of spool is worth in scrap.
func (w *wire) prices(perMount measure.Size) cutting.Prices {
	if perMount == 0 {
		perMount = defaultScrapPerMount
	}
	mount := int64(scrapPrice)
	if w.cut > 0 {
		mount = max(mount, scrapPrice*int64(w.each)/ngPerMg*int64(perMount/measure.Millimetre)/max(1, int64(w.cut/measure.Millimetre)))
	}
	return cutting.Prices{Scrap: scrapPrice, Mount: mount, Age: agePrice, Lot: lotPrice, Match: lotPrice, Share: sharePrice * mount}
}

// cuts deals the pieces of a stretch out to its loads.
func (st *stretch) cuts(pieces []cutting.Piece) []cut {
	var cuts []cut
	at, left := 0, 0
	if len(st.loads) > 0 {
		left = st.loads[0].strings
	}
	for _, p := range pieces {
		for n := p.Strings; n > 0; {
			l := &st.loads[at]
			take := min(n, left)
			if take > 0 {
				cuts = append(cuts, cut{l.machine, l.at, p.Spool, take})
			}
			n -= take
			if left -= take; left == 0 && at+1 < len(st.loads) {
				at++
				left = st.loads[at].strings
			}
		}
	}
	return cuts
}
