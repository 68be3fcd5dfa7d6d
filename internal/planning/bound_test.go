package planning

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/batch"
)

// optimum tries every way to put batches on machines, in every sequence, with spools that cost nothing.
func optimum(in Input, batches []batch.Batch) time.Duration {
	best := time.Duration(math.MaxInt64)
	used := make([]bool, len(batches))
	var try func(machine int, on Loaded, left int, paid time.Duration)
	try = func(machine int, on Loaded, left int, paid time.Duration) {
		if paid >= best {
			return
		}
		if left == 0 {
			best = paid
			return
		}
		for i, b := range batches {
			mk, _ := in.Bench.Making(b.Recipe, b.Scale)
			if used[i] || !in.Machines[machine].Takes(mk.Plain(), mk.CoreCut) {
				continue
			}
			cost, after := SetupOf(on, mk, b.Scale, nil, in.Practice)
			used[i] = true
			try(machine, after, left-1, paid+cost)
			used[i] = false
		}
		if machine+1 < len(in.Machines) {
			try(machine+1, in.Machines[machine+1].Loaded, left, paid)
		}
	}
	try(0, in.Machines[0].Loaded, len(batches), 0)
	return best
}

func TestBoundIsBelowTheOptimum(t *testing.T) {
	small := size{machines: 2, cores: 2, wraps: 2, recipes: 4, scales: 2, orders: 3, quantity: 4, spools: 6, spoolGrams: 400}
	rooms, tight, optimal := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		in := drawRoom(t, small)
		in.Practice.ChangeSpool = 0
		p := propose(t, in)
		var batches []batch.Batch
		for _, m := range p.Machines {
			batches = append(batches, m.Batches...)
		}
		if len(batches) == 0 || len(batches) > 6 {
			return
		}
		best := optimum(in, batches)
		if p.SetupBound > best || best > p.Setup {
			t.Fatalf("bound %s, optimum %s, plan %s", p.SetupBound, best, p.Setup)
		}
		rooms++
		if p.SetupBound == best {
			tight++
		}
		if p.Setup == best {
			optimal++
		}
	})
	if rooms >= 20 && tight*2 < rooms {
		t.Errorf("the bound is the optimum in only %d of %d rooms", tight, rooms)
	}
	t.Logf("%d rooms with work: bound tight in %d, plan optimal in %d", rooms, tight, optimal)
}

// A batch that needs three spools pays two changes whatever the plan; the bound says so.
func TestBoundCountsSpools(t *testing.T) {
	in := oneMachine(making(time.Minute, 1, "C0"))
	in.Spools = []balance{spoolOf("A", "C0", 3000), spoolOf("B", "C0", 3000), spoolOf("D", "C0", 1500)}
	in.Demands = want("O1", 5, 0) // 1.400000123 g each: two, two, one
	p := propose(t, in)
	if want := 8*time.Minute + 3*time.Minute; p.Setup != want || p.SetupBound != want {
		t.Errorf("setup %s, bound %s, want %s", p.Setup, p.SetupBound, want)
	}
}
