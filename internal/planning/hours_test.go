package planning

import (
	"strings"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/order"
)

// Two recipes on one machine from six till two with a break: what is due at its hour, or weighs more, comes first.
func TestHoursAndTerms(t *testing.T) {
	room := func() Input {
		in := oneMachine(making(time.Minute, 1, "C0"), making(time.Minute, 1, "C1"))
		in.Machines[0].Shifts = []Shift{{0, 2 * time.Hour}, {150 * time.Minute, 9 * time.Hour}}
		in.Demands = append(want("O1", 115, 0), want("O2", 115, 0)...)
		in.Demands[1].Recipe = "R01"
		return in
	}
	in := room()
	in.Terms = map[order.Code]Terms{"O2": {DueAt: 3 * time.Hour}}
	p := propose(t, in)
	all := planned(p)
	if len(all) != 2 || all[0].Serves[0].Order != "O2" || p.Lateness != 0 || !p.Optimal || !strings.HasPrefix(p.Proof, "optimal") {
		t.Fatalf("due at its hour: %+v", p)
	}
	// 8 min of setup and 115 of winding: 3 of them after the break.
	if all[0].Starts != 0 || all[0].Ends != 153*time.Minute || all[1].Starts != 153*time.Minute {
		t.Errorf("from %s to %s, then from %s", all[0].Starts, all[0].Ends, all[1].Starts)
	}
	in = room()
	for i := range in.Demands {
		in.Demands[i].DueOn -= 1 // both are late from the beginning
	}
	in.Terms = map[order.Code]Terms{"O2": {Weight: 3}}
	p = propose(t, in)
	if all = planned(p); all[0].Serves[0].Order != "O2" || p.Lateness != 3*153+274 || p.LateBound > p.Lateness || len(p.Late) != 2 {
		t.Errorf("late %d (bound %d): %+v", p.Lateness, p.LateBound, all)
	}
	in.Machines[0].Shifts = []Shift{{time.Hour, time.Hour}}
	if _, err := Propose(in); err == nil || !strings.Contains(err.Error(), "machine M1: shift") {
		t.Errorf("a shift of no length: %v", err)
	}
}

func TestOvertimeOnlyWhereAllowed(t *testing.T) {
	in := oneMachine(making(time.Minute, 1, "C0"))
	in.Demands = want("O1", 500, 0)
	if p := propose(t, in); p.Overtime != 0 || len(p.NotPlanned) != 1 {
		t.Errorf("not allowed: %+v", p)
	}
	in.Overtime = time.Hour
	if p := propose(t, in); p.Overtime != 28*time.Minute || len(p.NotPlanned) != 0 {
		t.Errorf("allowed: overtime %s, not planned %+v", p.Overtime, p.NotPlanned)
	}
}

// A released batch that took longer is done; the rest of the day begins later.
func TestABatchIsDone(t *testing.T) {
	in := oneMachine(making(time.Minute, 1, "C0"), making(time.Minute, 1, "C1"))
	in.Demands = append(want("O1", 100, 0), want("O2", 100, 0)...)
	in.Demands[1].Recipe = "R01"
	room, kept := release(in, propose(t, in))
	first, second := kept.Machines[0].Batches[0], kept.Machines[0].Batches[1]
	p := replan(t, room, kept, Changes{Done: []Done{{first.Code, first.Run + 20*time.Minute}}})
	got := p.Machines[0].Batches
	if got[0].Status != batch.Finished || got[1].Status != batch.Released || got[1].Starts != second.Starts+20*time.Minute {
		t.Errorf("got %+v", got)
	}
}
