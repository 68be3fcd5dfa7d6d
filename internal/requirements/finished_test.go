package requirements

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/batch"
	"windingroom/internal/measure"
)

func TestFinishedStringsGoToDemandsOfTheirKind(t *testing.T) {
	demands := []Demand{
		{Order: "O-1", Line: 1, Position: 1, Recipe: "P-10", Scale: 25 * measure.Inch, Strings: 2},
		{Order: "O-1", Line: 1, Position: 2, Recipe: "P-10", Scale: 26 * measure.Inch, Strings: 2},
		{Order: "O-2", Line: 1, Position: 1, Recipe: "P-10", Scale: 25 * measure.Inch, Strings: 3},
	}
	finished := []batch.Surplus{
		{Batch: "B1", Result: 1, Part: 2, Recipe: "P-10", Scale: 25 * measure.Inch, Strings: 1},
		{Batch: "B2", Result: 1, Part: 1, Recipe: "P-11", Scale: 25 * measure.Inch, Strings: 9},
		{Batch: "B3", Result: 2, Part: 1, Recipe: "P-10", Scale: 25 * measure.Inch, Strings: 3},
	}
	given, rest := FromFinished(demands, finished)
	wantGiven := []batch.Given{
		{Batch: "B1", Result: 1, Part: 2, Serve: batch.Serve{Order: "O-1", Line: 1, Position: 1, Strings: 1}},
		{Batch: "B3", Result: 2, Part: 1, Serve: batch.Serve{Order: "O-1", Line: 1, Position: 1, Strings: 1}},
		{Batch: "B3", Result: 2, Part: 1, Serve: batch.Serve{Order: "O-2", Line: 1, Position: 1, Strings: 2}},
	}
	wantRest := []Demand{demands[1], demands[2]}
	wantRest[1].Strings = 1
	if !slices.Equal(given, wantGiven) || !slices.Equal(rest, wantRest) {
		t.Errorf("given %v\nwant  %v\nrest %v\nwant %v", given, wantGiven, rest, wantRest)
	}
}

// Nothing is given twice, nothing is lost, and what is left over of a kind is wanted by nobody.
func TestFinishedStringsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		count := rapid.IntRange(0, 4)
		scale := rapid.SampledFrom([]measure.Size{25, 26})
		var demands []Demand
		wanted, spare := map[measure.Size]int{}, map[measure.Size]int{}
		for i := range count.Draw(t, "demands") {
			d := Demand{Order: "O", Line: i, Recipe: "P", Scale: scale.Draw(t, "scale"), Strings: count.Draw(t, "strings")}
			demands, wanted[d.Scale] = append(demands, d), wanted[d.Scale]+d.Strings
		}
		var finished []batch.Surplus
		for i := range count.Draw(t, "surpluses") {
			f := batch.Surplus{Batch: "B", Part: i, Recipe: "P", Scale: scale.Draw(t, "scale"), Strings: count.Draw(t, "strings")}
			finished, spare[f.Scale] = append(finished, f), spare[f.Scale]+f.Strings
		}
		given, rest := FromFinished(demands, finished)
		of := map[measure.Size]int{}
		for _, g := range given {
			of[demands[g.Line].Scale] += g.Strings
			if demands[g.Line].Scale != finished[g.Part].Scale || g.Strings <= 0 {
				t.Fatalf("given %+v", g)
			}
		}
		left := map[measure.Size]int{}
		for _, d := range rest {
			left[d.Scale] += d.Strings
		}
		for s := range wanted {
			if of[s] != min(wanted[s], spare[s]) || left[s] != wanted[s]-of[s] {
				t.Fatalf("scale %d: %d wanted, %d spare, %d given, %d left", s, wanted[s], spare[s], of[s], left[s])
			}
		}
	})
}
