package planning

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/batch"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// missed looks for a left-out string that fits at the end of a machine's day, each of its wires from one spool that holds enough
// and that no other machine needs from then on.
func missed(in Input, p Plan) error {
	left, busy := map[stock.SpoolCode]measure.Mass{}, map[stock.SpoolCode][]hold{}
	for _, s := range in.Spools {
		if s.Mass >= s.UsableEnd {
			left[s.Code] = s.Mass - s.Allocated
		}
	}
	for _, b := range planned(p) {
		for _, d := range b.Draws {
			left[d.Spool] -= d.Mass
			busy[d.Spool] = append(busy[d.Spool], hold{b.Machine, b.Starts, b.Ends})
		}
	}
	for _, n := range p.NotPlanned {
		for _, d := range in.Demands {
			if d.Order != n.Order || d.Line != n.Line || d.Position != n.Position {
				continue
			}
			mk, _ := in.Bench.Making(d.Recipe, d.Scale)
			toWind := slowOverage(1, mk.Yield, in.Practice.CompletionConfidence)
			for i, day := range p.Machines {
				m, _ := (&checker{in: in}).machine(day.Machine)
				var end time.Duration
				winds := false
				for _, b := range day.Batches {
					end, winds = b.Ends, b.Recipe == d.Recipe && b.Scale == d.Scale
				}
				if winds || !m.Takes(mk.Plain(), mk.CoreCut) {
					continue // the last batch would have to grow
				}
				var draws []batch.Draw
				for _, u := range mk.Uses {
					for _, s := range in.Spools {
						if s.Wire != u.Wire || left[s.Code] < u.Each.Times(int64(toWind)) || needed(busy[s.Code], m, end) {
							continue
						}
						draws = append(draws, batch.Draw{Spool: s.Code, Wire: u.Wire, Strings: toWind})
						break
					}
				}
				if len(draws) < len(mk.Uses) {
					continue
				}
				setup, _ := SetupOf(p.Machines[i].After, mk, d.Scale, draws, in.Practice)
				if end+setup+time.Duration(toWind)*mk.Each <= m.PerDay {
					return fmt.Errorf("%+v: one fits at the end of machine %s, from %s on with %s setup", n, m.Code, end, setup)
				}
			}
		}
	}
	return nil
}

// needed says whether another machine needs a spool after a time.
func needed(holds []hold, m Machine, from time.Duration) bool {
	for _, h := range holds {
		if h.machine != m.Code && h.till > from {
			return true
		}
	}
	return false
}

func TestNothingThatFitsIsLeftOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawRoom(t, usual)
		if err := missed(in, propose(t, in)); err != nil {
			t.Fatal(err)
		}
	})
}

// Of rooms in which machines want the same spools, some have strings that wait for a spool; none waits without need.
func TestNoStringWaitsForASpoolWithoutNeed(t *testing.T) {
	few := usual
	few.spools, few.spoolGrams = 2, 900
	waits := 0
	for seed := range uint64(150) {
		in := rollRoom(rand.New(rand.NewPCG(seed, 8)), few)
		p := propose(t, in)
		if err := missed(in, p); err != nil {
			t.Errorf("room %d: %v", seed, err)
		}
		if err := checkPlan(in, p); err != nil {
			t.Errorf("room %d: %v", seed, err)
		}
		for _, n := range p.NotPlanned {
			var wire string
			if _, err := fmt.Sscanf(n.Detail, "other machines need the spools of wire %s", &wire); err == nil {
				waits++
			}
		}
	}
	if waits == 0 {
		t.Error("no string waits for a spool: the rooms say nothing")
	}
}
