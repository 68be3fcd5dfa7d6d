package planning

import (
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/stock"
)

func replan(t interface {
	Helper()
	Fatal(...any)
}, in Input, kept Plan, c Changes) Plan {
	t.Helper()
	p, err := Replan(in, kept, c)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestPlannedAgainWithoutChangeIsTheSame(t *testing.T) {
	again := 0
	rapid.Check(t, func(t *rapid.T) {
		in := drawRoom(t, usual)
		kept := propose(t, in)
		if got := replan(t, in, kept, Changes{}); !reflect.DeepEqual(got, kept) {
			t.Fatalf("got  %+v\nwant %+v", got, kept)
		}
		all := planned(kept)
		if len(all) == 0 {
			return
		}
		again++
		held := replan(t, in, kept, Changes{Hold: []batch.Code{all[rapid.IntRange(0, len(all)-1).Draw(t, "held")].Code}})
		if err := checkPlan(in, held); err != nil {
			t.Fatal(err)
		}
		if got := replan(t, in, held, Changes{}); !reflect.DeepEqual(got, held) {
			t.Fatalf("after a hold: got  %+v\nwant %+v", got, held)
		}
	})
	if again < 20 {
		t.Errorf("only %d rooms had work", again)
	}
}

// Any changes give a plan that keeps the rules; what was asked for is in it.
func TestChangesKeepTheRules(t *testing.T) {
	moved, split := 0, 0
	for seed := range uint64(120) {
		r := rand.New(rand.NewPCG(seed, 5))
		in := rollRoom(r, usual)
		kept := propose(t, in)
		all := planned(kept)
		if len(all) < 2 {
			continue
		}
		one, two := all[r.IntN(len(all))], all[r.IntN(len(all))]
		c := Changes{Pin: []batch.Code{one.Code}}
		switch seed % 4 {
		case 0:
			c.Move = []Move{{two.Code, two.Machine, 1}}
			c.Pin = nil
		case 1:
			c.Move = []Move{{two.Code, in.Machines[r.IntN(len(in.Machines))].Code, 2}}
			c.Pin = nil
		case 2:
			c.Split = []Split{{two.Code, 1, in.Machines[r.IntN(len(in.Machines))].Code}}
		case 3:
			c.Down = []catalog.MachineCode{one.Machine}
			c.Pin = nil
		}
		p, err := Replan(in, kept, c)
		if err != nil {
			continue // a machine that does not take it, a batch of one string
		}
		if err := checkPlan(in, p); err != nil {
			t.Fatalf("room %d, %+v: %v", seed, c, err)
		}
		if again := replan(t, in, p, Changes{}); !reflect.DeepEqual(again, p) {
			t.Fatalf("room %d, %+v: planned again it is another plan:\n%+v\n%+v", seed, c, again, p)
		}
		switch seed % 4 {
		case 0, 1:
			for _, b := range planned(p) {
				if b.Code == two.Code && b.Machine == c.Move[0].Machine {
					moved++
				}
			}
		case 2:
			split++
		case 3:
			for _, day := range p.Machines {
				if day.Machine == one.Machine && len(day.Batches) > 0 {
					t.Errorf("room %d: machine %s is down and winds %+v", seed, day.Machine, day.Batches)
				}
			}
		}
	}
	if moved < 20 || split < 3 {
		t.Errorf("only %d moves and %d splits were tried", moved, split)
	}
}

// release takes a plan's wire and strings out of the room, as releasing it does.
func release(in Input, p Plan) (Input, Plan) {
	out := After(in, p)
	for i := range out.Machines {
		out.Machines[i].Loaded = in.Machines[i].Loaded
	}
	out.Spools = append([]stock.Balance{}, in.Spools...)
	for d := range p.Machines {
		p.Machines[d].Batches = append([]batch.Batch{}, p.Machines[d].Batches...)
		for i := range p.Machines[d].Batches {
			b := &p.Machines[d].Batches[i]
			b.Status = batch.Released
			for _, dr := range b.Draws {
				for s := range out.Spools {
					if out.Spools[s].Code == dr.Spool {
						out.Spools[s].Allocated += dr.Mass
					}
				}
			}
		}
	}
	return out, p
}

// Released batches keep machine, place, orders and spools whatever comes in besides.
func TestReleasedBatchesNeverMove(t *testing.T) {
	grown := 0
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 6))
		in := rollRoom(r, usual)
		first := in
		first.Demands = in.Demands[:len(in.Demands)/2]
		room, kept := release(first, propose(t, first))
		left := room.Demands
		room.Demands = append(append(left[:0:0], left...), in.Demands[len(in.Demands)/2:]...)
		p := replan(t, room, kept, Changes{})
		for m, day := range kept.Machines {
			for i, b := range day.Batches {
				if i >= len(p.Machines[m].Batches) {
					t.Fatalf("room %d: batch %s is gone", seed, b.Code)
				}
				got := p.Machines[m].Batches[i]
				if got.Code != b.Code || got.Status != batch.Released || !reflect.DeepEqual(got.Draws, b.Draws) || !reflect.DeepEqual(got.Serves, b.Serves) {
					t.Fatalf("room %d: released %+v, now %+v", seed, b, got)
				}
			}
		}
		if len(planned(p)) > len(planned(kept)) {
			grown++
		}
		if got := replan(t, room, p, Changes{}); !reflect.DeepEqual(got, p) {
			t.Fatalf("room %d: planned again it is another plan", seed)
		}
	}
	if grown < 10 {
		t.Errorf("batches came in besides released ones in %d rooms only", grown)
	}
}

func TestALateBatchPushesTheRestBack(t *testing.T) {
	in := oneMachine(making(time.Minute, 1, "C0"), making(time.Minute, 1, "C1"))
	in.Demands = append(want("O1", 200, 0), want("O2", 200, 1)...)
	in.Demands[1].Recipe = "R01"
	kept := propose(t, in)
	first := kept.Machines[0].Batches[0]
	p := replan(t, in, kept, Changes{Late: []Delay{{first.Code, time.Hour}}})
	if p.Machines[0].Batches[0].Run != first.Run+time.Hour || p.Machines[0].Batches[1].Ends > 8*time.Hour {
		t.Errorf("got %+v", p.Machines[0].Batches)
	}
	held := replan(t, in, kept, Changes{Hold: []batch.Code{first.Code}})
	if len(planned(held)) != 1 || len(held.Held) != 1 || held.NotPlanned[0].Detail != "held by the lead; resume it to plan it" {
		t.Errorf("held: %+v", held)
	}
	back := replan(t, in, held, Changes{Resume: held.Held})
	if len(planned(back)) != 2 || len(back.Held) != 0 {
		t.Errorf("resumed: %+v", back)
	}
}

func TestReplanRefuses(t *testing.T) {
	in := oneMachine(making(time.Minute, 1, "C0"))
	in.Demands = want("O1", 5, 0)
	kept := propose(t, in)
	code := kept.Machines[0].Batches[0].Code
	for _, c := range []struct {
		name    string
		changes Changes
		says    string
	}{
		{"an unknown batch", Changes{Pin: []batch.Code{"B-X"}}, `pin: batch "B-X"`},
		{"an unknown machine", Changes{Move: []Move{{code, "M9", 1}}}, `machine "M9"`},
		{"a place of none", Changes{Move: []Move{{code, "M1", 0}}}, "place 0"},
		{"a split onto itself", Changes{Split: []Split{{code, 2, "M1"}}}, "winds recipe R00 at that length already"},
		{"a proposed batch done", Changes{Done: []Done{{code, 0}}}, "done: batch"},
		{"no such machine down", Changes{Down: []catalog.MachineCode{"M7"}}, `down: machine "M7"`},
	} {
		if _, err := Replan(in, kept, c.changes); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: got %v, want it to say %s", c.name, err, c.says)
		}
	}
}

func TestDifferences(t *testing.T) {
	b := func(code batch.Code, recipe, machine string, place, n int) batch.Batch {
		return batch.Batch{Code: code, Recipe: catalog.RecipeCode(recipe), Machine: catalog.MachineCode(machine), Sequence: place, Ordered: n}
	}
	day := func(list ...batch.Batch) MachineDay { return MachineDay{Machine: list[0].Machine, Batches: list} }
	old := Plan{Machines: []MachineDay{day(b("1", "A", "M1", 1, 5), b("2", "B", "M1", 2, 5), b("3", "C", "M1", 3, 5)), day(b("4", "D", "M2", 1, 5))}}
	now := Plan{Machines: []MachineDay{day(b("9", "E", "M1", 1, 3), b("1", "A", "M1", 2, 5), b("3", "C", "M1", 3, 6)), day(b("2", "B", "M2", 1, 5))}}
	want := []Difference{
		{What: CameIn, Batch: "9", Recipe: "E", To: Spot{"M1", 1}, Is: 3},
		{What: Resized, Batch: "3", Recipe: "C", From: Spot{"M1", 3}, To: Spot{"M1", 3}, Was: 5, Is: 6},
		{What: Moved, Batch: "2", Recipe: "B", From: Spot{"M1", 2}, To: Spot{"M2", 1}, Was: 5, Is: 5},
		{What: WentOut, Batch: "4", Recipe: "D", From: Spot{"M2", 1}, Was: 5},
	}
	if got := Differences(old, now); !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if got := Differences(now, now); len(got) != 0 {
		t.Errorf("of a plan and itself: %+v", got)
	}
}

// Ten days on, each day keeps the rules in the room that the day before leaves, and strings come in once.
func TestLookAhead(t *testing.T) {
	for seed := range uint64(8) {
		in := rollRoom(rand.New(rand.NewPCG(seed, 8)), usual)
		var days []Ahead
		for i := 1; i < 10; i++ {
			a := Ahead{Date: in.Date + calendar.Date(i)}
			if i == 3 {
				a.Receipts = []stock.Balance{spoolOf("NEW-0", "C0", 500_000), spoolOf("NEW-1", "W0", 500_000)}
			}
			days = append(days, a)
		}
		plans, err := LookAhead(in, days)
		if err != nil {
			t.Fatal(err)
		}
		room, strung := in, 0
		for i, p := range plans {
			if i > 0 {
				room = After(room, plans[i-1])
				room.Date = days[i-1].Date
				room.Spools = append(room.Spools, days[i-1].Receipts...)
			}
			if err := checkPlan(room, p); err != nil {
				t.Fatalf("room %d day %d: %v", seed, i, err)
			}
			for _, b := range planned(p) {
				strung += b.Ordered
			}
		}
		all, left := 0, 0
		for _, d := range in.Demands {
			all += d.Strings
		}
		for _, n := range plans[len(plans)-1].NotPlanned {
			left += n.Strings
		}
		if strung+left != all {
			t.Errorf("room %d: %d strings wound and %d left of %d", seed, strung, left, all)
		}
	}
}
