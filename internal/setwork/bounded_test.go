package setwork

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"windingroom/internal/estimate"
	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// TestMatchThatHadToStop: with a few nodes only, the search gives a set that is no better than the best, says that it is not proven and
// bounds how near a better one could come; the bound holds for the best of all choices. What it calls proven is the best.
func TestMatchThatHadToStop(t *testing.T) {
	shops, stopped, worse, informs := 0, 0, 0, 0
	for seed := uint64(0); shops < 1000; seed++ {
		rng := rand.New(rand.NewPCG(seed, 11))
		f := randomShop(rng)
		for i := range f.Spools { // so little that strings contend for it
			f.Spools[i].Allocated = max(f.Spools[i].Allocated, f.Spools[i].Mass-measure.Mass(1500+rng.IntN(4000)))
			f.Spools[i].UsableEnd = 0
		}
		room, err := NewRoom(f)
		if err != nil {
			continue // a ribbon too wide for its core
		}
		b := brute{f, map[material.WireCode]material.Wire{}}
		for _, w := range f.Wires {
			b.wires[w.Code] = w
		}
		percent := 10 + 40*rng.Float64()
		q := MatchRequest{Alloy: "nickel", Tolerance: &percent, HeldOnly: rng.IntN(2) == 0}
		var options [][]trial
		var present []trial
		choices := 0
		for range 2 + rng.IntN(3) {
			c := f.Recipes[rng.IntN(len(f.Recipes))]
			scaleIn, hertz := math.Round((24+3*rng.Float64())*100)/100, math.Round(80+250*rng.Float64())
			q.Set.Strings = append(q.Set.Strings, SetString{Recipe: string(c.Code), ScaleIn: scaleIn, Pitch: estimate.Pitch(fmt.Sprint(hertz))})
			now := b.string("", string(c.Code), c.Core, c.Wraps, c.BallEnd, scaleIn, hertz)
			var near []trial
			for _, candidate := range b.candidates(c, "nickel", scaleIn, hertz) {
				candidate.off = candidate.tension/now.tension - 1
				if math.Abs(candidate.off) <= percent/100 && (candidate.held || !q.HeldOnly) {
					near = append(near, candidate)
				}
			}
			options, present = append(options, near), append(present, now)
			choices += int(one(len(near) > 1))
		}
		if count(options) > 1000 || choices < 2 {
			continue
		}
		shops++
		room.nodes = 1 + rng.IntN(2*len(options))
		answer, err := room.Match(q)
		if err != nil {
			t.Fatalf("shop %d: %v", seed, err)
		}
		set, best := answer.Recommended, b.best(options, present, q.HeldOnly)
		truth := 100 * math.Sqrt(best[4]/float64(len(options))) // a string that stays is off by nothing
		if said := strings.Contains(fmt.Sprint(set.Cautions), "not proven"); said == set.Exact {
			t.Fatalf("shop %d: exact is %v, cautions %q", seed, set.Exact, set.Cautions)
		}
		if set.Exact {
			if set.OffAtLeastPercent != set.OffPercent || math.Abs(set.OffPercent-truth) > 1e-7 {
				t.Fatalf("shop %d: proven, off by %v %%, at least %v; the best is %v", seed, set.OffPercent, set.OffAtLeastPercent, truth)
			}
			continue
		}
		stopped++
		if set.OffAtLeastPercent > truth+1e-7 || set.OffAtLeastPercent > set.OffPercent {
			t.Fatalf("shop %d: off by %v %%, a better one by %v at least, it says; the best is off by %v", seed, set.OffPercent, set.OffAtLeastPercent, truth)
		}
		worse += int(one(math.Abs(set.OffPercent-truth) > 1e-7))
		informs += int(one(set.OffAtLeastPercent > 0))
	}
	t.Logf("%d searches stopped, %d of them short of the best, %d with a bound above zero", stopped, worse, informs)
	if stopped < 200 || worse < 20 || informs < 100 {
		t.Error("too few searches stopped to show anything")
	}
}
