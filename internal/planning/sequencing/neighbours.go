package sequencing

import (
	"cmp"
	"slices"
)

// nearest is how many neighbours a batch has in the search.
const nearest = 12

// neighbours gives for each batch those that need least setup before or after it, then those due at nearly the same time.
func (t *tables) neighbours() [][]int32 {
	near := make([][]int32, t.n)
	type other struct {
		batch int32
		setup int32
		apart int64
	}
	all := make([]other, 0, t.n)
	for j := range t.n {
		all = all[:0]
		for i := range t.n {
			if i != j {
				least := min(t.pair[0][i*t.n+j], t.pair[0][j*t.n+i])
				all = append(all, other{int32(i), least, max(t.due[i]-t.due[j], t.due[j]-t.due[i])})
			}
		}
		slices.SortFunc(all, func(a, b other) int {
			return cmp.Or(cmp.Compare(a.setup, b.setup), cmp.Compare(a.apart, b.apart), cmp.Compare(a.batch, b.batch))
		})
		for _, o := range all[:min(nearest, len(all))] {
			near[j] = append(near[j], o.batch)
		}
	}
	return near
}

// meanSetup gives the mean setup between a batch and its neighbours, in time: about what a move is worth.
func (t *tables) meanSetup() int64 {
	var sum, count int64
	for j, near := range t.near {
		for _, i := range near {
			sum += int64(min(t.pair[0][int(i)*t.n+j], t.pair[0][j*t.n+int(i)]))
			count++
		}
	}
	return sum * t.unit / max(1, count)
}
