package stock

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"windingroom/internal/measure"
)

// batchSource begins the source of a movement that a batch made.
const batchSource = "batch "

// Batch gives the batch behind the movement; empty where there is none.
func (m Movement) Batch() string {
	code, ok := strings.CutPrefix(m.Source, batchSource)
	if !ok {
		return ""
	}
	return code
}

// Weighs says whether the movement re-based its spool to what a scale showed.
func (m Movement) Weighs() bool { return m.Kind == WeighBack || m.Kind == CountDifference }

// History is movements of one spool in the order in which they took effect; those of one instant in the order in which they
// were posted.
type History []Movement

// HistoryOf puts a spool's movements in order. Those after an instant are left out; the zero time leaves out none.
func HistoryOf(moves []Movement, until time.Time) History {
	h := make(History, 0, len(moves))
	for _, m := range moves {
		if until.IsZero() || !m.EffectiveAt.After(until) {
			h = append(h, m)
		}
	}
	slices.SortFunc(h, func(a, b Movement) int {
		return cmp.Or(a.EffectiveAt.Compare(b.EffectiveAt), cmp.Compare(a.ID, b.ID))
	})
	return h
}

// Mass gives what the movements leave on the spool.
func (h History) Mass() measure.Mass {
	var sum measure.Mass
	for _, m := range h {
		sum += m.Mass
	}
	return sum
}

// Weighed gives the last weighing that was not taken back; ok is false where the spool was never weighed.
func (h History) Weighed() (last Movement, ok bool) {
	i := h.weighed()
	if i < 0 {
		return Movement{}, false
	}
	return h[i], true
}

// FirstWeighed gives the first weighing after an instant that was not taken back; ok is false where there is none.
func (h History) FirstWeighed(after time.Time) (first Movement, ok bool) {
	reversed := map[MovementID]bool{}
	for _, m := range h {
		reversed[m.Reverses] = true
	}
	for _, m := range h {
		if m.EffectiveAt.After(after) && m.Weighs() && !reversed[m.ID] {
			return m, true
		}
	}
	return Movement{}, false
}

func (h History) weighed() int {
	reversed := map[MovementID]bool{}
	for _, m := range h {
		reversed[m.Reverses] = true
	}
	for i, m := range slices.Backward(h) {
		if m.Weighs() && !reversed[m.ID] {
			return i
		}
	}
	return -1
}

// Drawn gives what was taken off the spool by computation since it was weighed last: one entry for each batch in the order
// in which they first drew, and one with an empty source for what no batch took. What was put back is deducted; where all of it
// was, the batch is left out.
func (h History) Drawn() []Drawn {
	since := h[h.weighed()+1:]
	taken := map[MovementID]string{} // whose draw a movement is
	var list []Drawn
	add := func(source string, mass measure.Mass) {
		i := slices.IndexFunc(list, func(d Drawn) bool { return d.Source == source })
		if i < 0 {
			i, list = len(list), append(list, Drawn{Source: source})
		}
		list[i].Mass += mass
	}
	for _, m := range since {
		source, ours := taken[m.Reverses]
		switch {
		case m.Kind == Draw || m.Kind == Scrap:
			taken[m.ID] = m.Batch()
			add(m.Batch(), -m.Mass)
		case m.Kind == Reversal && ours:
			add(source, -m.Mass)
		}
	}
	return slices.DeleteFunc(list, func(d Drawn) bool { return d.Mass <= 0 })
}
