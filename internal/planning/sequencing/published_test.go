package sequencing_test

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	. "windingroom/internal/planning/sequencing"
	"windingroom/internal/testkit"
)

const far = int64(1) << 61

// published reads the numbers of a public benchmark file beside the module; the test is skipped where it is absent.
func published(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(testkit.ModuleRoot(t), "..", "shared", "bench", name))
	if err != nil {
		t.Skipf("the public instances are not there: %v", err)
	}
	return string(data)
}

func numbers(t testing.TB, text string) []int64 {
	t.Helper()
	var list []int64
	for _, f := range strings.Fields(text) {
		n, err := strconv.ParseInt(f, 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, n)
	}
	return list
}

// tour makes a problem of an asymmetric travelling salesman: city 0 is what is loaded, the last batch the way back to it.
func tour(d [][]int64) Problem {
	n := len(d)
	p := Problem{Machines: []Machine{{Regular: far, Limit: far}}, Prices: Prices{Setup: 1}}
	kept := make([]int, n)
	for j := range n {
		p.Batches = append(p.Batches, Batch{Run: []int64{0}, Takes: []bool{true}, Fixed: j == n-1})
		kept[j] = j
	}
	p.Kept = [][]int{kept}
	p.Start = func(_, to int) int64 { return d[0][(to+1)%n] }
	p.Setup = func(_, from, to int) int64 { return d[(from+1)%n][(to+1)%n] }
	return p
}

// Published check: TSPLIB95 (Reinelt, ORSA Journal on Computing 3, 1991) with its proven optima.
func TestTravellingSalesmen(t *testing.T) {
	best := strings.Fields(published(t, "atsp/best_known.txt"))
	known := map[string]int64{}
	for i, f := range best {
		name := strings.TrimSuffix(strings.TrimSuffix(f, ":"), ".atsp")
		if i+1 < len(best) {
			if v, err := strconv.ParseInt(strings.Trim(best[i+1], ":"), 10, 64); err == nil {
				known[name] = v
			} else if i+2 < len(best) {
				if v, err := strconv.ParseInt(best[i+2], 10, 64); err == nil {
					known[name] = v
				}
			}
		}
	}
	for _, name := range []string{"br17", "ftv33", "ftv44", "ry48p"} {
		text := published(t, "atsp/"+name+".atsp")
		_, text, _ = strings.Cut(text, "EDGE_WEIGHT_SECTION")
		list := numbers(t, strings.TrimSuffix(strings.TrimSpace(text), "EOF"))
		n := 1
		for n*n < len(list) {
			n++
		}
		d := make([][]int64, n)
		for i := range d {
			d[i] = list[i*n : (i+1)*n]
		}
		r := Solve(tour(d))
		gap := 100 * float64(r.Value.Setup-known[name]) / float64(known[name])
		t.Logf("%s: %d, optimum %d, gap %.2f %%", name, r.Value.Setup, known[name], gap)
		if gap < 0 || gap > 3 {
			t.Errorf("%s: gap %.2f %%, want 0 to 3", name, gap)
		}
	}
}

// Published check: OR-Library (Beasley), weighted tardiness on a single machine, 125 instances of 40 jobs with their optima.
func TestWeightedTardiness(t *testing.T) {
	list, known := numbers(t, published(t, "wt/wt40.txt")), numbers(t, published(t, "wt/wtopt40.txt"))
	const jobs = 40
	var sum, optimum int64
	matched := 0
	for i, want := range known {
		own := list[i*3*jobs:]
		p := Problem{Machines: []Machine{{Regular: far, Limit: far}}, Prices: Prices{Late: 1}, Effort: 100_000}
		p.Start, p.Setup = func(_, _ int) int64 { return 0 }, func(_, _, _ int) int64 { return 0 }
		for j := range jobs {
			p.Batches = append(p.Batches, Batch{Run: []int64{own[j]}, Takes: []bool{true}})
			p.Orders = append(p.Orders, Order{Due: own[2*jobs+j], Weight: own[jobs+j], Batches: []int{j}})
		}
		r := Solve(p)
		if r.Value.Late < want {
			t.Fatalf("instance %d: %d is below the optimum %d", i+1, r.Value.Late, want)
		}
		sum, optimum = sum+r.Value.Late, optimum+want
		if r.Value.Late == want {
			matched++
		}
	}
	gap := 100 * float64(sum-optimum) / float64(optimum)
	t.Logf("%d of %d instances at the optimum, gap of the sum %.3f %%", matched, len(known), gap)
	if gap > 0.2 {
		t.Errorf("gap of the sum %.3f %%, want at most 0.2", gap)
	}
}
