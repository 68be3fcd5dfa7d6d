package planning

import (
	"slices"

	"windingroom/internal/measure"
)

// shelf is the state of a wire's spools while they are given out.
type shelf struct {
	*wire
	left  []measure.Mass
	owner []int // machine that has the spool, or none
	cuts  []cut
}

// unwind gives spools to the stretches of a wire and says whether all found wire.
//
// A stretch goes on with the spool it finds loaded, since that saves a change. Otherwise it takes a spool that holds all of
// it, the oldest that is left empty or with a usable end; or else the largest, so that the fewest are needed.
func (w *wire) unwind(stretches []stretch) ([]cut, bool) {
	sh := shelf{wire: w}
	for _, s := range w.spools {
		sh.left = append(sh.left, s.free)
		sh.owner = append(sh.owner, s.home)
	}
	sortStretches(stretches)
	for _, st := range stretches {
		if !sh.serve(st) {
			return nil, false
		}
	}
	return sh.cuts, true
}

func (sh *shelf) serve(st stretch) bool {
	st.loads = slices.Clone(st.loads)
	spool := st.first
	if spool == none || sh.left[spool] == 0 {
		spool = sh.pick(st)
	}
	for ; spool != none; spool = sh.pick(st) {
		sh.owner[spool] = st.machine
		sh.take(&st, spool)
		if len(st.loads) == 0 {
			return true
		}
	}
	return false
}

// pick chooses the next spool for what is left of a stretch; none where no spool makes one string. Spools that another machine
// has come last, for they cannot be in two places.
func (sh *shelf) pick(st stretch) int {
	for _, foreign := range []bool{false, true} {
		if i := sh.single(st, foreign); i != none {
			return i
		}
		if i := sh.largest(st, foreign); i != none {
			return i
		}
	}
	return none
}

// single chooses a spool that holds all that is left of a stretch: the oldest that leaves no remnant, or else the oldest.
func (sh *shelf) single(st stretch, foreign bool) int {
	best := none
	for i := range sh.spools {
		if sh.left[i] < st.need || sh.left[i] == 0 || sh.foreign(i, st) != foreign {
			continue
		}
		if !sh.remnant(i, sh.left[i]-st.need) {
			return i
		}
		if best == none {
			best = i
		}
	}
	return best
}

// largest chooses the spool that holds most, so that the fewest are needed.
func (sh *shelf) largest(st stretch, foreign bool) int {
	best := none
	for i := range sh.spools {
		if sh.foreign(i, st) == foreign && fits(sh.left[i], st.loads[0].each, 1) > 0 && (best == none || sh.left[i] > sh.left[best]) {
			best = i
		}
	}
	return best
}

func (sh *shelf) foreign(i int, st stretch) bool {
	return sh.owner[i] != none && sh.owner[i] != st.machine
}

func (sh *shelf) remnant(i int, left measure.Mass) bool {
	return left > 0 && left < sh.spools[i].usable
}

// take draws on a spool as much of a stretch as it gives. Where what is left would be no use and the rest of the stretch
// needs another spool anyway, a usable end is kept if one further spool still holds that rest.
func (sh *shelf) take(st *stretch, spool int) {
	if st.need > sh.left[spool] {
		if end := sh.spools[spool].usable; end > 0 && sh.left[spool] > end {
			trial := *st
			trial.loads = slices.Clone(st.loads)
			cuts, left := draw(&trial, spool, sh.left[spool]-end)
			next := none
			if len(cuts) > 0 {
				kept := sh.left[spool]
				sh.left[spool] = 0
				next = sh.single(trial, false)
				sh.left[spool] = kept
			}
			if next != none && !sh.remnant(next, sh.left[next]-trial.need) {
				*st = trial
				sh.left[spool] = left + end
				sh.cuts = append(sh.cuts, cuts...)
				return
			}
		}
	}
	cuts, left := draw(st, spool, sh.left[spool])
	sh.left[spool] = left
	sh.cuts = append(sh.cuts, cuts...)
}

// draw takes loads off the front of a stretch while a mass lasts.
func draw(st *stretch, spool int, mass measure.Mass) ([]cut, measure.Mass) {
	var cuts []cut
	for len(st.loads) > 0 {
		l := &st.loads[0]
		n := fits(mass, l.each, l.strings)
		if n > 0 {
			cuts = append(cuts, cut{l.machine, l.at, spool, n})
			mass -= l.each.Times(int64(n))
			st.need -= l.each.Times(int64(l.strings)) - l.each.Times(int64(l.strings-n))
			l.strings -= n
		}
		if l.strings > 0 {
			break
		}
		st.loads = st.loads[1:]
	}
	return cuts, mass
}
