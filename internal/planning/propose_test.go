package planning

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/order"
	"windingroom/internal/requirements"
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

// Orders come in one by one in due order, so more room may let in a large order that keeps out several small ones after it:
// the number of complete orders is not monotone. What must hold is that the first order in due order, once whole, stays so.
func TestMoreRoomKeepsTheFirstOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawRoom(t, usual)
		if len(in.Demands) == 0 {
			return
		}
		first := slices.MinFunc(in.Demands, requirements.Compare).Order
		before := propose(t, in)
		more := in
		more.Machines, more.Spools = slices.Clone(in.Machines), slices.Clone(in.Spools)
		switch rapid.IntRange(0, 2).Draw(t, "more of") {
		case 0:
			for i := range more.Machines {
				more.Machines[i].PerDay += 10 * time.Hour
			}
		case 1:
			for i := range more.Spools {
				more.Spools[i].Mass *= 10
			}
		case 2:
			extra := in.Machines[0]
			extra.Code, extra.Loaded = "M9", Loaded{}
			more.Machines = append(more.Machines, extra)
		}
		if holds(before, first) && !holds(propose(t, more), first) {
			t.Fatalf("order %s was whole and is not with more room", first)
		}
	})
}

func holds(p Plan, code order.Code) bool {
	return !slices.ContainsFunc(p.NotPlanned, func(n NotPlanned) bool { return n.Order == code })
}
