package planning

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/measure"
)

func TestFits(t *testing.T) {
	for _, c := range []struct {
		name string
		mass measure.Mass
		each measure.MassEach
		most int
		want int
	}{
		{"whole strings only", 10, 3_000_000, 9, 3},
		{"not more than asked", 100, 3_000_000, 4, 4},
		{"nothing left", 0, 3_000_000, 4, 0},
		{"rounded down to the mass", 10, 10_499_999, 9, 1},
		{"rounded up beyond it", 10, 10_500_000, 9, 0},
		{"no mass each", 0, 0, 7, 7},
	} {
		if got := fits(c.mass, c.each, c.most); got != c.want {
			t.Errorf("%s: got %d, want %d", c.name, got, c.want)
		}
		if n := int64(c.want); c.each.Times(n) > c.mass || (c.want < c.most && c.each.Times(n+1) <= c.mass) {
			t.Errorf("%s: %d is not the most", c.name, c.want)
		}
	}
}

// What an insertion is said to add is the difference between two days reckoned from the start.
func TestInsertedIsTheDifference(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, err := newShop(drawRoom(t, usual))
		if err != nil || len(s.groups) == 0 {
			return
		}
		group := rapid.IntRange(0, len(s.groups)-1)
		l := newLane(s.starts[0])
		for range rapid.IntRange(0, 8).Draw(t, "batches") {
			l.runs = append(l.runs, run{group: group.Draw(t, "group")})
		}
		l.settle(s, 0)
		at, g := rapid.IntRange(0, len(l.runs)).Draw(t, "at"), group.Draw(t, "new")
		var with lane
		l.cloneTo(&with)
		with.runs = slices.Insert(with.runs, at, run{group: g})
		with.settle(s, 0)
		if got, want := l.inserted(s, at, &s.groups[g].fitting), with.setup()-l.setup(); got != want {
			t.Fatalf("inserting at %d of %d adds %d ns, want %d", at, len(l.runs), got, want)
		}
	})
}
