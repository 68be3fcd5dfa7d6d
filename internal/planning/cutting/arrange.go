package cutting

import "slices"

// tidy joins pieces of one spool that follow one another and leaves out empty ones. A load has a spool only once: it would
// have to be put on twice.
func (st *Stretch) tidy(pieces []Piece) []Piece {
	out := join(pieces)
	if !repeats(out) {
		return out
	}
	return join(slices.Concat(st.deal(out)...))
}

func join(pieces []Piece) []Piece {
	out := pieces[:0]
	for _, p := range pieces {
		switch n := len(out); {
		case p.Strings == 0:
		case n > 0 && out[n-1].Spool == p.Spool:
			out[n-1].Strings += p.Strings
		default:
			out = append(out, p)
		}
	}
	return slices.Clip(out)
}

func repeats(pieces []Piece) bool {
	for i := range pieces {
		for j := range i {
			if pieces[j].Spool == pieces[i].Spool {
				return true
			}
		}
	}
	return false
}

// deal gives each load its pieces, each spool once, in the order in which they are first used.
func (st *Stretch) deal(pieces []Piece) [][]Piece {
	loads := make([][]Piece, len(st.Loads))
	at, left := 0, 0
	for l, load := range st.Loads {
		for want := load.Strings; want > 0 && (left > 0 || at < len(pieces)); {
			if left == 0 {
				left = pieces[at].Strings
				at++
			}
			n := min(want, left)
			want, left = want-n, left-n
			spool := pieces[at-1].Spool
			if i := slices.IndexFunc(loads[l], func(p Piece) bool { return p.Spool == spool }); i >= 0 {
				loads[l][i].Strings += n
			} else {
				loads[l] = append(loads[l], Piece{spool, n})
			}
		}
	}
	return loads
}

// way is the end of a load on one of its spools: the changes up to there, the piece it begins with and the way before it.
type way struct{ changes, first, last, before int }

// Arrange orders the pieces of each load so that spools are changed least often: the one that is on the machine comes first, the
// one that the next load needs last.
func (st *Stretch) Arrange(pieces []Piece) []Piece {
	loads := st.deal(pieces)
	ways := make([][]way, len(loads))
	on, before := []int{st.First}, []way{{}} // what can be on the machine, and how
	for l, own := range loads {
		if len(own) == 0 || own[len(own)-1].Spool < 0 {
			return pieces // without wire: there is nothing to arrange
		}
		for last := range own {
			best := way{changes: -1}
			for first := range own {
				if first == last && len(own) > 1 {
					continue
				}
				for i, w := range before {
					changes := w.changes + len(own) - 1
					if on[i] != own[first].Spool {
						changes++
					}
					if best.changes < 0 || changes < best.changes {
						best = way{changes, first, last, i}
					}
				}
			}
			ways[l] = append(ways[l], best)
		}
		on, before = on[:0:0], ways[l]
		for _, p := range own {
			on = append(on, p.Spool)
		}
	}
	return join(slices.Concat(trace(loads, ways)...))
}

// trace follows the least way back and puts each load's first piece to its begin and its last one to its end.
func trace(loads [][]Piece, ways [][]way) [][]Piece {
	at := 0
	for l := len(loads) - 1; l >= 0; l-- {
		if l == len(loads)-1 {
			for i, w := range ways[l] {
				if w.changes <= ways[l][at].changes {
					at = i
				}
			}
		}
		w, own := ways[l][at], loads[l]
		if len(own) > 1 {
			sorted := []Piece{own[w.first]}
			for i, p := range own {
				if i != w.first && i != w.last {
					sorted = append(sorted, p)
				}
			}
			loads[l] = append(sorted, own[w.last])
		}
		at = w.before
	}
	return loads
}
