package stock

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
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

// keepSource begins the source of a movement that keeps a weighing.
const keepSource = "weighing "

// KeepSource gives the source of movements that keep a weighing, and of those that take them back with it.
func (weighing Movement) KeepSource() string {
	return keepSource + strconv.FormatInt(int64(weighing.ID), 10)
}

// Follows says whether the movement happens at once with the one before it, which alone may leave the bounds of the spool.
func (m Movement) Follows() bool { return strings.HasPrefix(m.Source, keepSource) }

// Keeping gives the movement that keeps what a weighing said beside one that is posted later for a time before it: what moved
// then was on the scale already, so its mass is taken back at the weighing. It belongs right after the other, and the two happen at once.
func (weighing Movement) Keeping(other Movement) Movement {
	keep := weighing
	keep.ID, keep.Key = 0, ""
	keep.Mass, keep.Cost, keep.PostedAt, keep.Person = -other.Mass, -other.Cost, other.PostedAt, other.Person
	if other.EffectiveAt.After(weighing.EffectiveAt) {
		keep.EffectiveOn, keep.EffectiveAt = other.EffectiveOn, other.EffectiveAt
	}
	keep.Source = weighing.KeepSource()
	keep.Reason = fmt.Sprintf("movement %d weighed this already", weighing.ID)
	return keep
}

// Keeps gives the weighing that the movement keeps; ok is false for any other movement.
func (m Movement) Keeps() (weighing MovementID, ok bool) {
	number, ok := strings.CutPrefix(m.Source, keepSource)
	if !ok || (m.Kind != WeighBack && m.Kind != CountDifference) {
		return 0, false
	}
	id, err := strconv.ParseInt(number, 10, 64)
	return MovementID(id), err == nil
}

// Weighs says whether the movement re-based its spool to what a scale showed; one that only keeps such a weighing does not.
func (m Movement) Weighs() bool {
	_, keeps := m.Keeps()
	return (m.Kind == WeighBack || m.Kind == CountDifference) && !keeps
}

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
	slices.SortStableFunc(h, inOrder)
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

// WeighedSince gives the first weighing after a movement that was not taken back; ok is false where there is none. A movement that
// is not posted yet has no number and comes after those of its instant.
func (h History) WeighedSince(m Movement) (first Movement, ok bool) {
	reversed := map[MovementID]bool{}
	for _, other := range h {
		reversed[other.Reverses] = true
	}
	for _, other := range h {
		if other.Weighs() && !reversed[other.ID] && inOrder(m, other) < 0 {
			return other, true
		}
	}
	return Movement{}, false
}

// Before gives what took effect before a movement.
func (h History) Before(m Movement) History {
	i := slices.IndexFunc(h, func(other Movement) bool { return inOrder(other, m) >= 0 })
	if i < 0 {
		return h
	}
	return h[:i]
}

// Between gives the least and the most that the spool held from a movement on and before a later one. What took effect at one
// instant, such as a draw and its reversal, counts together.
func (h History) Between(from, to Movement) (least, most measure.Mass) {
	held := h.Before(from).Mass()
	least, most = held, held
	during := h.Before(to)[len(h.Before(from)):]
	for i, m := range during {
		held += m.Mass
		if i+1 == len(during) || during[i+1].EffectiveAt.After(m.EffectiveAt) {
			least, most = min(least, held), max(most, held)
		}
	}
	return least, most
}

// inOrder compares movements by when they took effect, then by when they were posted; one without a number is yet to be posted.
func inOrder(a, b Movement) int {
	last := func(id MovementID) uint64 { return uint64(id) - 1 } // zero becomes the greatest
	return cmp.Or(a.EffectiveAt.Compare(b.EffectiveAt), cmp.Compare(last(a.ID), last(b.ID)))
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
