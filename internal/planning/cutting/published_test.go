package cutting_test

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"windingroom/internal/measure"
	. "windingroom/internal/planning/cutting"
	"windingroom/internal/testkit"
)

// Published check: OR-Library bin packing, class u120. With the best known number of equal spools all may find wire; with one
// less it must not.
func TestNeverFewerSpoolsThanBestKnown(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(testkit.ModuleRoot(t), "..", "shared", "bench", "binpack1.txt"))
	if err != nil {
		t.Skipf("the public instances are not there: %v", err)
	}
	f := strings.Fields(string(data))
	whole := func(s string) int {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return int(v)
	}
	all, more := 0, 0
	for n, at := whole(f[0]), 1; n > 0; n-- {
		name, capacity, items, best := f[at], whole(f[at+1]), whole(f[at+2]), whole(f[at+3])
		at += 4
		p := Problem{Prices: Prices{Mount: 1}}
		for i := range items {
			p.Batches = append(p.Batches, Stretch{First: -1, Loads: []Load{{measure.MassEach(whole(f[at+i])) * 1_000_000, 1}}})
		}
		at += items
		with := func(spools int) Result {
			p.Spools = make([]Spool, spools)
			for s := range p.Spools {
				p.Spools[s] = Spool{Free: measure.Mass(capacity), Home: -1}
			}
			return Solve(p)
		}
		if r := with(best - 1); r.Value.Unfilled == 0 {
			t.Errorf("%s: all cut from %d spools, best known %d", name, best-1, best)
		}
		if with(best).Value.Unfilled == 0 {
			all++
		}
		if with(best+1).Value.Unfilled == 0 {
			more++
		}
	}
	t.Logf("all cut from the best known number of spools in %d of 20, from one more in %d", all, more)
	if more < 12 {
		t.Errorf("all cut from one spool more than best known in %d of 20, want 12", more)
	}
}
