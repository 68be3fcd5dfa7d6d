package sequencing_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	. "windingroom/internal/planning/sequencing"
	"windingroom/internal/testkit"
)

// model is the problem as a mixed integer programme: which batch follows which on which machine, 0 being the machine's start.
const model = `
param n; param m; param q; param big := 100000;
set J := 1..n; set K := 1..m; set O := 1..q;
param s{k in K, i in 0..n, j in J}; param p{J}; param due{O}; param w{O}; param of{o in O, j in J} default 0; param regular{K};
var x{i in 0..n, j in J, k in K: i != j}, binary;
var c{0..n} >= 0; var load{K} >= 0; var late{O} >= 0, integer; var over{K} >= 0;
minimize total: 1000000 * sum{o in O} w[o]*late[o] + sum{k in K, i in 0..n, j in J: i != j} s[k,i,j]*x[i,j,k] + sum{k in K} over[k];
s.t. once{j in J}: sum{k in K, i in 0..n: i != j} x[i,j,k] = 1;
s.t. starts{k in K}: sum{j in J} x[0,j,k] <= 1;
s.t. flow{j in J, k in K}: sum{i in J: i != j} x[j,i,k] <= sum{i in 0..n: i != j} x[i,j,k];
s.t. zero: c[0] = 0;
s.t. time{i in 0..n, j in J, k in K: i != j}: c[j] >= c[i] + s[k,i,j] + p[j] - big*(1 - x[i,j,k]);
s.t. ready{o in O, j in J: of[o,j] > 0}: 60*late[o] >= c[j] - due[o];
s.t. full{k in K}: load[k] = sum{i in 0..n, j in J: i != j} (s[k,i,j] + p[j])*x[i,j,k];
s.t. beyond{k in K}: over[k] >= load[k] - regular[k];
solve;
end;
`

// small makes a random problem and the data of its model.
func small(seed uint64) (Problem, string) {
	r := rand.New(rand.NewPCG(seed, 11))
	n, m := 4+r.IntN(2), 1+r.IntN(2)
	setup := make([][][]int64, m)
	var data strings.Builder
	put := func(format string, args ...any) { fmt.Fprintf(&data, format, args...) }
	put("data;\nparam n := %d; param m := %d; param q := 2;\nparam s :=", n, m)
	p := Problem{Tick: 60, Prices: Prices{Late: 60, Setup: 1, Overtime: 1}}
	kinds := make([][2]int, n)
	for j := range kinds {
		kinds[j] = [2]int{r.IntN(3), r.IntN(3)}
	}
	for k := range m {
		setup[k] = make([][]int64, n+1)
		start := [2]int{r.IntN(3), r.IntN(3)}
		for i := range n + 1 {
			for j := range n {
				from := start
				if i > 0 {
					from = kinds[i-1]
				}
				var s int64
				if from[0] != kinds[j][0] {
					s += 360
				}
				if from[1] != kinds[j][1] {
					s += 240
				}
				setup[k][i] = append(setup[k][i], s)
				put(" [%d,%d,%d] %d", k+1, i, j+1, s)
			}
		}
		p.Machines = append(p.Machines, Machine{Regular: int64(1500 + r.IntN(2000)), Limit: far})
	}
	put(";\nparam p :=")
	for j := range n {
		b := Batch{}
		run := int64(300 + r.IntN(1200))
		for range m {
			b.Run, b.Takes = append(b.Run, run), append(b.Takes, true)
		}
		p.Batches = append(p.Batches, b)
		put(" %d %d", j+1, run)
	}
	put(";\nparam regular :=")
	for k := range m {
		put(" %d %d", k+1, p.Machines[k].Regular)
	}
	var due, weight, of string
	for o := range 2 {
		order := Order{Due: int64(r.IntN(4000)), Weight: int64(1 + r.IntN(3)), Batches: r.Perm(n)[:2]}
		p.Orders = append(p.Orders, order)
		due += fmt.Sprintf(" %d %d", o+1, order.Due)
		weight += fmt.Sprintf(" %d %d", o+1, order.Weight)
		for _, j := range order.Batches {
			of += fmt.Sprintf(" [%d,%d] 1", o+1, j+1)
		}
	}
	put(";\nparam due := %s;\nparam w := %s;\nparam of := %s;\nend;\n", due, weight, of)
	p.Start = func(k, to int) int64 { return setup[k][0][to] }
	p.Setup = func(k, from, to int) int64 { return setup[k][from+1][to] }
	return p, data.String()
}

var objective = regexp.MustCompile(`Objective:\s+total = ([0-9.eE+-]+)`)

// solved runs the solver on a model and gives its proven optimum, if it finishes.
func solved(t *testing.T, program, model, data string) (best float64, done bool) {
	t.Helper()
	dir := t.TempDir()
	file, out := filepath.Join(dir, "room.mod"), filepath.Join(dir, "room.out")
	if err := os.WriteFile(file, []byte(strings.Replace(model, "end;", data, 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	said, err := exec.CommandContext(ctx, program, "--math", file, "--tmlim", "20", "-o", out).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	found := objective.FindSubmatch(text)
	if found == nil || !strings.Contains(string(text), "INTEGER OPTIMAL") {
		return 0, false
	}
	best, err = strconv.ParseFloat(string(found[1]), 64)
	if err != nil {
		t.Fatal(err)
	}
	return best, true
}

// An independent solver finds the same optimum.
func TestAgainstASolver(t *testing.T) {
	program := testkit.Program(t, "glpsol")
	finished := 0
	for seed := range uint64(5) {
		p, data := small(seed)
		want, done := solved(t, program, model, data)
		if !done {
			t.Logf("problem %d: the solver did not finish", seed)
			continue
		}
		finished++
		v := Solve(p).Value
		if got := float64(1_000_000*v.Late + v.Cost); got != want {
			t.Errorf("problem %d: %.0f (%+v), the solver has %.0f", seed, got, v, want)
		}
	}
	if finished < 3 {
		t.Errorf("the solver finished %d of 5", finished)
	}
}
