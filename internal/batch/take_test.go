package batch

import (
	"errors"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// tenOfTwo winds ten strings: core from C1 for six and C2 for four, wrap from W1 for all.
func tenOfTwo() Batch {
	return Batch{Code: "B", Ordered: 8, ToWind: 10, Draws: []Draw{
		{Spool: "C1", Wire: "core", Strings: 6, Mass: 6_003}, {Spool: "C2", Wire: "core", Strings: 4, Mass: 4_002},
		{Spool: "W1", Wire: "wrap", Strings: 10, Mass: 30_000},
	}}
}

func TestTake(t *testing.T) {
	tests := []struct {
		name  string
		n     int
		wound map[stock.SpoolCode]int
		named []SpoolStrings
		want  []SpoolStrings
		fails bool
	}{
		{"all as planned", 10, nil, nil, []SpoolStrings{{"C1", "core", 6}, {"C2", "core", 4}, {"W1", "wrap", 10}}, false},
		{"the first few", 5, nil, nil, []SpoolStrings{{"C1", "core", 5}, {"W1", "wrap", 5}}, false},
		{"the next few", 4, map[stock.SpoolCode]int{"C1": 5, "W1": 5}, nil, []SpoolStrings{{"C1", "core", 1}, {"C2", "core", 3}, {"W1", "wrap", 4}}, false},
		{"beyond plan from the last", 12, nil, nil, []SpoolStrings{{"C1", "core", 6}, {"C2", "core", 6}, {"W1", "wrap", 12}}, false},
		{"nothing", 0, nil, nil, nil, false},
		{"one wire swapped", 5, nil, []SpoolStrings{{"W9", "wrap", 3}, {"W1", "wrap", 2}},
			[]SpoolStrings{{"C1", "core", 5}, {"W9", "wrap", 3}, {"W1", "wrap", 2}}, false},
		{"after a swap the planned ones are still there", 7, map[stock.SpoolCode]int{"C9": 3, "W1": 3}, nil,
			[]SpoolStrings{{"C1", "core", 6}, {"C2", "core", 1}, {"W1", "wrap", 7}}, false},
		{"too few named", 5, nil, []SpoolStrings{{"W9", "wrap", 3}}, nil, true},
		{"named twice", 5, nil, []SpoolStrings{{"W9", "wrap", 3}, {"W9", "wrap", 2}}, nil, true},
		{"another wire", 5, nil, []SpoolStrings{{"X1", "other", 5}}, nil, true},
		{"for no strings", 5, nil, []SpoolStrings{{"W9", "wrap", 0}, {"W1", "wrap", 5}}, nil, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := tenOfTwo().Take(tt.n, tt.wound, tt.named)
			if errors.Is(err, ErrSpools) != tt.fails || !slices.Equal(got, tt.want) {
				t.Errorf("got %v, %v; want %v", got, err, tt.want)
			}
		})
	}
}

// However a batch is split over results, each spool gives the wire of all its strings, to the milligram.
func TestMassesOfPartsSumToTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		each := measure.MassEach(rapid.Int64Range(0, 10_000_000_000).Draw(t, "each"))
		var sum measure.Mass
		n := 0
		for _, part := range rapid.SliceOf(rapid.IntRange(0, 40)).Draw(t, "parts") {
			m := Mass(each, n, part)
			if m < 0 {
				t.Fatalf("%d more after %d weigh %s", part, n, m)
			}
			sum, n = sum+m, n+part
		}
		if sum != each.Times(int64(n)) {
			t.Errorf("parts weigh %s, %d strings %s", sum, n, each.Times(int64(n)))
		}
	})
}

func TestClaims(t *testing.T) {
	each := map[material.WireCode]measure.MassEach{"core": 1_000_500_000, "wrap": 3_000_000_000}
	result := func(n int, draws ...Taken) Result { return Result{Good: n, Draws: draws} }
	undone := result(4, Taken{Spool: "C1", Strings: 4}, Taken{Spool: "W1", Strings: 4})
	undone.UndoneAt = undone.UndoneAt.AddDate(1, 0, 0)
	tests := []struct {
		name    string
		toWind  int
		results []Result
		want    []measure.Mass
	}{
		{"when released it is what is planned", 10, nil, []measure.Mass{6_003, 4_002, 30_000}},
		{"for fewer strings", 7, nil, []measure.Mass{6_003, 1_001, 21_000}},
		{"for none", 0, nil, []measure.Mass{0, 0, 0}},
		{"the rest after four", 10, []Result{result(4, Taken{Spool: "C1", Strings: 4}, Taken{Spool: "W1", Strings: 4})}, []measure.Mass{2_001, 4_002, 18_000}},
		{"an undone result does not count", 10, []Result{undone}, []measure.Mass{6_003, 4_002, 30_000}},
		{"what was swapped is needed no more", 10, []Result{result(6, Taken{Spool: "C9", Strings: 6}, Taken{Spool: "W1", Strings: 6})}, []measure.Mass{4_002, 0, 12_000}},
		{"more than planned was wound", 10, []Result{result(12, Taken{Spool: "C1", Strings: 6}, Taken{Spool: "C2", Strings: 6}, Taken{Spool: "W1", Strings: 12})},
			[]measure.Mass{0, 0, 0}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tenOfTwo().Claims(tt.toWind, each, tt.results); !slices.Equal(got, tt.want) {
				t.Errorf("got %v, want %v", got, tt.want)
			}
		})
	}
}

func TestGive(t *testing.T) {
	serves := []Serve{{"late", 1, 1, 2}, {"first", 1, 1, 3}, {"first", 2, 1, 1}}
	tests := []struct {
		name    string
		good    int
		given   []Serve
		want    []Serve
		surplus int
	}{
		{"in the order of serves", 4, nil, []Serve{{"late", 1, 1, 2}, {"first", 1, 1, 2}}, 0},
		{"all and more", 9, nil, serves, 3},
		{"only what is missing", 4, []Serve{{"late", 1, 1, 2}, {"first", 1, 1, 1}, {"", 0, 0, 5}}, []Serve{{"first", 1, 1, 2}, {"first", 2, 1, 1}}, 1},
		{"none", 0, nil, nil, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, surplus := Give(tt.good, serves, tt.given)
			if !slices.Equal(got, tt.want) || surplus != tt.surplus {
				t.Errorf("got %v and %d, want %v and %d", got, surplus, tt.want, tt.surplus)
			}
		})
	}
}
