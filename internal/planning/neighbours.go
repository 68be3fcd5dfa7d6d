package planning

import (
	"cmp"
	"slices"
)

// nearest is how many neighbours a batch has in the search.
const nearest = 12

// neighbours gives for each group that is wound the groups that need least setup beside it, nearest first.
func (s *shop) neighbours(at [][]int) [][]int {
	near := make([][]int, len(s.groups))
	type other struct {
		group int
		cost  int64
	}
	var all []other
	for g := range s.groups {
		if len(at[g]) == 0 {
			continue
		}
		all = all[:0]
		for o := range s.groups {
			if o != g && len(at[o]) > 0 {
				all = append(all, other{o, s.rates.between(&s.groups[g].fitting, &s.groups[o].fitting)})
			}
		}
		slices.SortFunc(all, func(a, b other) int { return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.group, b.group)) })
		for _, o := range all[:min(nearest, len(all))] {
			near[g] = append(near[g], o.group)
		}
	}
	return near
}
