package batch

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"windingroom/internal/material"
	"windingroom/internal/stock"
)

// MarkKind says what a mark of the tally is.
type MarkKind string

// The marks.
const (
	Begin MarkKind = "begin" // somebody sets the machine up for the batch
	Count MarkKind = "count" // strings came off the machine
	Feed  MarkKind = "spool" // from here on strings are wound from another spool
)

// Mark is one thing that the bench says of a batch while it is wound. Marks are kept until a result takes them into the books, and
// given back where that result is undone.
type Mark struct {
	Batch          Code
	Number         int // in the batch, 1 upwards
	Kind           MarkKind
	At             time.Time
	Person         string
	Good, Scrapped int // of a count; below zero where it corrects
	Reason         string
	Wire           material.WireCode // of a feed
	Spool          stock.SpoolCode
	Key            string
	Result         int // that took it; zero while it is to come
	UndoneAt       time.Time
}

// Stands says whether the mark was not taken back.
func (m Mark) Stands() bool { return m.UndoneAt.IsZero() }

// Open says whether the mark stands and no result took it yet.
func (m Mark) Open() bool { return m.Stands() && m.Result == 0 }

// Tally is what is counted of a batch since its last result.
type Tally struct {
	BegunAt  time.Time // zero while nobody began
	LastAt   time.Time // of its last mark
	Good     int
	Scrapped int
	Reasons  []ScrapReason // why strings were scrapped, the most frequent first
	Feeds    []Switch      // in order
	People   []string      // who made marks, the first first
}

// Strings gives how many are counted.
func (t Tally) Strings() int { return t.Good + t.Scrapped }

// Running says whether the batch is begun.
func (t Tally) Running() bool { return !t.BegunAt.IsZero() }

// ScrapReason is a number of strings scrapped for one reason.
type ScrapReason struct {
	Reason  string
	Strings int
}

// Switch is a change of the spool of a wire, after so many strings of the tally.
type Switch struct {
	After int
	Wire  material.WireCode
	Spool stock.SpoolCode
}

// Tallied adds the open marks up. A spool that was put on before the last result is still on the machine.
func Tallied(marks []Mark) Tally {
	var t Tally
	reasons := map[string]int{}
	loaded := map[material.WireCode]stock.SpoolCode{}
	for _, m := range marks {
		if m.Stands() && m.Result != 0 && m.Kind == Feed {
			loaded[m.Wire] = m.Spool
		}
	}
	for _, wire := range slices.Sorted(maps.Keys(loaded)) {
		t.Feeds = append(t.Feeds, Switch{0, wire, loaded[wire]})
	}
	for _, m := range marks {
		if !m.Open() {
			continue
		}
		if t.BegunAt.IsZero() {
			t.BegunAt = m.At
		}
		t.LastAt = m.At
		if !slices.Contains(t.People, m.Person) {
			t.People = append(t.People, m.Person)
		}
		if m.Kind == Feed {
			t.Feeds = append(t.Feeds, Switch{t.Strings(), m.Wire, m.Spool})
		}
		t.Good, t.Scrapped = t.Good+m.Good, t.Scrapped+m.Scrapped
		reasons[m.Reason] += m.Scrapped
	}
	t.Reasons = scrapReasons(reasons)
	return t
}

// ScrapReasons adds up why strings of a batch were scrapped, over all its results.
func ScrapReasons(marks []Mark) []ScrapReason {
	reasons := map[string]int{}
	for _, m := range marks {
		if m.Stands() {
			reasons[m.Reason] += m.Scrapped
		}
	}
	return scrapReasons(reasons)
}

// scrapReasons sorts reasons. What was taken away again without saying of which reason is taken from the most frequent ones.
func scrapReasons(of map[string]int) (list []ScrapReason) {
	away := 0
	for reason, n := range of {
		if n > 0 {
			list = append(list, ScrapReason{reason, n})
		}
		away += max(-n, 0)
	}
	slices.SortFunc(list, func(a, b ScrapReason) int { return cmp.Or(b.Strings-a.Strings, cmp.Compare(a.Reason, b.Reason)) })
	for i := range list {
		n := min(away, list[i].Strings)
		list[i].Strings, away = list[i].Strings-n, away-n
	}
	return slices.DeleteFunc(list, func(r ScrapReason) bool { return r.Strings == 0 })
}

// Fed names the spools of the wires that were switched, for n strings: those that were planned until the first switch of a wire, then
// those that were put on. Wires that were not switched are left to the plan.
func (b Batch) Fed(n int, wound map[stock.SpoolCode]int, switches []Switch) []SpoolStrings {
	var all []SpoolStrings
	for _, wire := range b.Wires() {
		own := slices.Clone(switches)
		own = slices.DeleteFunc(own, func(s Switch) bool { return s.Wire != wire })
		if len(own) == 0 || n == 0 {
			continue
		}
		parts := b.inOrder(wire, min(own[0].After, n), wound)
		for i, s := range own {
			till := n
			if i+1 < len(own) {
				till = min(own[i+1].After, n)
			}
			if k := till - min(s.After, n); k > 0 {
				parts = append(parts, SpoolStrings{s.Spool, wire, k})
			}
		}
		all = append(all, merged(parts)...)
	}
	return all
}

// merged names each spool once.
func merged(list []SpoolStrings) (out []SpoolStrings) {
	for _, s := range list {
		if i := slices.IndexFunc(out, func(o SpoolStrings) bool { return o.Spool == s.Spool }); i >= 0 {
			out[i].Strings += s.Strings
		} else {
			out = append(out, s)
		}
	}
	return out
}

// Next gives the spool of each wire that the next string is wound from.
func (b Batch) Next(wound map[stock.SpoolCode]int, t Tally) map[material.WireCode]stock.SpoolCode {
	next := map[material.WireCode]stock.SpoolCode{}
	for _, wire := range b.Wires() {
		parts := b.inOrder(wire, t.Strings()+1, wound)
		next[wire] = parts[len(parts)-1].Spool
		for _, s := range t.Feeds {
			if s.Wire == wire {
				next[wire] = s.Spool
			}
		}
	}
	return next
}
