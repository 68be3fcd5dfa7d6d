package cutting_test

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

	"windingroom/internal/measure"
	. "windingroom/internal/planning/cutting"
	"windingroom/internal/testkit"
)

// model is one wire's day as a mixed integer programme: strings of each batch from each spool.
const model = `
param b; param p; set B := 1..b; set S := 1..p;
param each{B}; param want{B}; param w{B}; param free{S}; param usable; param scrap; param mount;
var x{B,S} >= 0, integer; var z{B,S}, binary; var y{S}, binary; var keep{S}, binary; var left{B} >= 0; var e{S} >= 0;
minimize total: 100000000 * sum{i in B} w[i]*left[i] + scrap * sum{s in S} e[s] + mount * sum{i in B, s in S} z[i,s];
s.t. all{i in B}: sum{s in S} x[i,s] + left[i] = want[i];
s.t. holds{s in S}: sum{i in B} each[i]*x[i,s] + usable*keep[s] <= free[s];
s.t. rest{s in S}: e[s] >= free[s]*y[s] - sum{i in B} each[i]*x[i,s] - free[s]*keep[s];
s.t. mounted{i in B, s in S}: x[i,s] <= want[i]*z[i,s];
s.t. opened{i in B, s in S}: z[i,s] <= y[s];
solve;
end;
`

var objective = regexp.MustCompile(`Objective:\s+total = ([0-9.eE+-]+)`)

// An independent solver finds the same choice of spools, up to 6 of them.
func TestAgainstASolver(t *testing.T) {
	program := testkit.Program(t, "glpsol")
	for seed := range uint64(5) {
		r := rand.New(rand.NewPCG(seed, 12))
		p := Problem{Prices: Prices{Scrap: 3, Mount: 700}}
		usable := 100 + r.IntN(200)
		n, spools := 2+r.IntN(2), 3+r.IntN(4)
		each, want, w, free := "", "", "", ""
		for i := range n {
			one, count, price := 200+r.IntN(300), 2+r.IntN(5), 1+r.IntN(3)
			p.Batches = append(p.Batches, Stretch{First: -1, Priority: price, Loads: []Load{{measure.MassEach(one) * 1_000_000, count}}})
			each += fmt.Sprintf(" %d %d", i+1, one)
			want += fmt.Sprintf(" %d %d", i+1, count)
			w += fmt.Sprintf(" %d %d", i+1, price)
		}
		for s := range spools {
			holds := 300 + r.IntN(1200)
			p.Spools = append(p.Spools, Spool{Free: measure.Mass(holds), Usable: measure.Mass(usable), Home: -1})
			free += fmt.Sprintf(" %d %d", s+1, holds)
		}
		data := fmt.Sprintf("data;\nparam b := %d; param p := %d; param usable := %d; param scrap := 3; param mount := 700;\n"+
			"param each := %s;\nparam want := %s;\nparam w := %s;\nparam free := %s;\nend;\n", n, spools, usable, each, want, w, free)
		best, done := solved(t, program, data)
		v := Solve(p).Value
		got := float64(100_000_000*v.Unfilled + v.Cost)
		t.Logf("problem %d: %d batches, %d spools: %.0f, the solver has %.0f (finished %v)", seed, n, spools, got, best, done)
		if done && got != best || got > best {
			t.Errorf("problem %d: %.0f (%+v), the solver has %.0f (finished %v)", seed, got, v, best, done)
		}
	}
}

func solved(t *testing.T, program, data string) (best float64, done bool) {
	t.Helper()
	dir := t.TempDir()
	file, out := filepath.Join(dir, "wire.mod"), filepath.Join(dir, "wire.out")
	if err := os.WriteFile(file, []byte(strings.Replace(model, "end;", data, 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	if said, err := exec.CommandContext(ctx, program, "--math", file, "--tmlim", "4", "-o", out).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	found := objective.FindSubmatch(text)
	if found == nil {
		t.Fatalf("no objective in %s", text)
	}
	best, err = strconv.ParseFloat(string(found[1]), 64)
	if err != nil {
		t.Fatal(err)
	}
	return best, strings.Contains(string(text), "INTEGER OPTIMAL")
}
