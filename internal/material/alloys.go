package material

import (
	"cmp"
	"maps"
	"slices"
	"strings"
)

// Alloys finds an alloy by its code without regard to case. The zero value is empty and ready to be read.
type Alloys struct{ byKey map[string]Alloy }

// NewAlloys collects alloys; a later one replaces an earlier one of the same code, as With says.
func NewAlloys(list ...Alloy) Alloys {
	all := Alloys{byKey: make(map[string]Alloy, len(list))}
	for _, a := range list {
		all.put(a)
	}
	return all
}

// Key gives the code in the one spelling used for comparison.
func (c AlloyCode) Key() string { return strings.ToLower(strings.TrimSpace(string(c))) }

// Find gives the alloy of a code.
func (all Alloys) Find(code AlloyCode) (Alloy, bool) {
	a, ok := all.byKey[code.Key()]
	return a, ok
}

// With gives a copy in which the shop's own alloys are added or take the place of those with the same code. A replacement
// that names no strength table, or says nothing of nickel or tarnish, keeps what the old one says: a shop that states the density of its
// tinned music wire still buys music wire. It also keeps the spelling of the code that was first entered.
func (all Alloys) With(own ...Alloy) Alloys {
	both := Alloys{byKey: maps.Clone(all.byKey)}
	if both.byKey == nil {
		both.byKey = make(map[string]Alloy, len(own))
	}
	for _, a := range own {
		both.put(a)
	}
	return both
}

func (all Alloys) put(a Alloy) {
	if old, ok := all.byKey[a.Code.Key()]; ok {
		a.Code = old.Code
		a.Strength = cmp.Or(a.Strength, old.Strength)
		a.Nickel, a.Tarnishes = cmp.Or(a.Nickel, old.Nickel), cmp.Or(a.Tarnishes, old.Tarnishes)
	}
	all.byKey[a.Code.Key()] = a
}

// List gives all alloys by code.
func (all Alloys) List() []Alloy {
	return slices.SortedFunc(maps.Values(all.byKey), func(a, b Alloy) int { return cmp.Compare(a.Code.Key(), b.Code.Key()) })
}
