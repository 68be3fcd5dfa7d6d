package planning

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/order"
)

func propose(t interface {
	Helper()
	Fatal(...any)
}, in Input) Plan {
	t.Helper()
	p, err := Propose(in)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestEveryPlanKeepsTheRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawRoom(t, usual)
		if err := checkPlan(in, propose(t, in)); err != nil {
			t.Fatal(err)
		}
	})
}

func TestTheSameRoomGivesTheSamePlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawRoom(t, usual)
		want := propose(t, in)
		rnd := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		mixed := in
		mixed.Demands, mixed.Machines, mixed.Spools = slices.Clone(in.Demands), slices.Clone(in.Machines), slices.Clone(in.Spools)
		rnd.Shuffle(len(mixed.Demands), reflect.Swapper(mixed.Demands))
		rnd.Shuffle(len(mixed.Machines), reflect.Swapper(mixed.Machines))
		rnd.Shuffle(len(mixed.Spools), reflect.Swapper(mixed.Spools))
		if got := propose(t, mixed); !reflect.DeepEqual(got, want) {
			t.Fatalf("got  %+v\nwant %+v", got, want)
		}
	})
}

// completed counts the orders a plan completes.
func completed(in Input, p Plan) int {
	orders := map[order.Code]bool{}
	for _, d := range in.Demands {
		orders[d.Order] = true
	}
	for _, n := range p.NotPlanned {
		delete(orders, n.Order)
	}
	return len(orders)
}

// More room may let in a large order that keeps out several small ones after it, and other spools may be chosen: the number
// of complete orders need not grow room by room. On these 100 rooms of 12 orders it falls by 1 at most, and on the whole
// time and wire let it grow more than three times as much as it falls. A machine completes few orders more, since the rooms are
// short of wire and a spool is on one machine at a time: there it falls in 5 rooms at most. Before anything is added, 390 orders
// at least are complete.
func TestMoreRoomCompletesMoreOrders(t *testing.T) {
	const worst, slack, least = 1, 5, 390
	for name, more := range map[string]func(*Input){
		"time": func(in *Input) {
			for i := range in.Machines {
				in.Machines[i].PerDay += 2 * time.Hour
			}
		},
		"wire": func(in *Input) {
			for i := range in.Spools {
				in.Spools[i].Mass *= 4
			}
		},
		"a machine": func(in *Input) {
			extra := in.Machines[0]
			extra.Code, extra.Loaded = "M9", Loaded{}
			in.Machines = append(in.Machines, extra)
		},
	} {
		gained, lost, deepest, all := 0, 0, 0, 0
		for seed := range uint64(100) {
			in := rollRoom(rand.New(rand.NewPCG(seed, 1)), usual)
			before := completed(in, propose(t, in))
			all += before
			more(&in)
			change := completed(in, propose(t, in)) - before
			gained += max(0, change)
			lost += max(0, -change)
			deepest = max(deepest, -change)
		}
		t.Logf("more %s: %d orders gained, %d lost, %d at most in one room", name, gained, lost, deepest)
		if deepest > worst || lost > slack || (name != "a machine" && gained < 3*lost) {
			t.Errorf("more %s: %d orders gained, %d lost, %d at most in one room", name, gained, lost, deepest)
		}
		if all < least {
			t.Errorf("%d orders complete, want %d", all, least)
		}
	}
}
