package workshop_test

import (
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/planning"
	"windingroom/internal/workshop"
)

// strung is what a code stands for.
type strung struct {
	recipe catalog.RecipeCode
	scale  int64
}

// Whatever is asked, in any order: planning again with nothing asked, or asking it again, gives the plan that stands; and of two
// plans that follow each other no code names other strings.
func TestTheAnswerToChangesIsFinal(t *testing.T) {
	if testing.Short() {
		t.Skip("plans the scenario many times")
	}
	changed := 0
	for seed := range uint64(2) {
		r := rand.New(rand.NewPCG(seed, 11))
		l := newLead(t)
		day := l.propose()
		for range 4 {
			c := anyChange(r, day)
			next, err := l.ReplanDay(l.ctx, l.day, c)
			if err != nil {
				continue // its machine is down
			}
			l.sound()
			changed += min(1, len(next.Differences))
			names := namesOf(day)
			for code, is := range namesOf(next) {
				if was, known := names[code]; known && was != is {
					t.Errorf("room %d, %s: %s named %v and names %v", seed, c, code, was, is)
				}
			}
			if again := l.propose(); !reflect.DeepEqual(again.Plan, next.Plan) {
				t.Errorf("room %d, %s: planned again it is another plan: %v", seed, c, planning.Differences(next.Plan, again.Plan))
			}
			if again := l.change(c); !reflect.DeepEqual(again.Plan, next.Plan) || len(again.Differences) > 0 {
				t.Errorf("room %d, %s: asked twice it is another plan: %v", seed, c, planning.Differences(next.Plan, again.Plan))
			}
			day = next
		}
	}
	if changed < 3 {
		t.Errorf("only %d changes changed anything", changed)
	}
}

func anyChange(r *rand.Rand, day workshop.DayPlan) (c workshop.DayChanges) {
	all := of(day)
	if len(all) == 0 {
		return workshop.DayChanges{Anew: true}
	}
	one := all[r.IntN(len(all))]
	switch r.IntN(8) {
	case 0:
		c.Hold = []batch.Code{one.Code}
	case 1:
		c.Resume = day.Held
	case 2:
		c.Pin = []batch.Code{one.Code}
	case 3:
		c.Down = []catalog.MachineCode{one.Machine}
	case 4:
		c.Up = day.Down
	case 5:
		c.Overtime = minutes(30 * r.IntN(4))
	case 6:
		c.Late = []planning.Delay{{Batch: one.Code, By: time.Duration(r.IntN(60)) * time.Minute}}
	case 7:
		c.Move = []planning.Move{{Batch: one.Code, Machine: one.Machine, Place: 1}}
	}
	return c
}

func namesOf(day workshop.DayPlan) map[batch.Code]strung {
	names := map[batch.Code]strung{}
	for _, b := range of(day) {
		names[b.Code] = strung{b.Recipe, int64(b.Scale)}
	}
	return names
}

// A batch that was held holds nothing else when it is held again, and no other strings get its code.
func TestACodeIsNotGivenToOtherStrings(t *testing.T) {
	l := newLead(t)
	first := l.propose()
	gone := of(first)[0]
	held := l.change(workshop.DayChanges{Hold: []batch.Code{gone.Code}})
	again := l.change(workshop.DayChanges{Hold: []batch.Code{gone.Code}})
	if !reflect.DeepEqual(again.Plan, held.Plan) || len(again.Differences) > 0 || len(again.Held) != 1 {
		t.Errorf("held twice: %v, held %v", again.Differences, again.Held)
	}
	names := namesOf(first)
	for code, is := range namesOf(l.change(workshop.DayChanges{Overtime: minutes(120)})) {
		if was, known := names[code]; known && was != is {
			t.Errorf("%s named %v and names %v", code, was, is)
		}
	}
}
