package batch

import (
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/material"
	"windingroom/internal/stock"
)

var fedBatch = Batch{Code: "B", Status: Released, ToWind: 10, Setup: 10 * time.Minute, Run: 100 * time.Minute, Ends: 110 * time.Minute, Draws: []Draw{
	{Spool: "c1", Wire: "core", Strings: 6}, {Spool: "c2", Wire: "core", Strings: 4}, {Spool: "w1", Wire: "wrap", Strings: 10}}}

func TestFed(t *testing.T) {
	tests := []struct {
		name     string
		n        int
		switches []Switch
		want     []SpoolStrings
	}{
		{"nothing switched", 5, nil, nil},
		{"none wound", 0, []Switch{{0, "core", "x"}}, nil},
		{"from the first string", 5, []Switch{{0, "core", "x"}}, []SpoolStrings{{"x", "core", 5}}},
		{"after two planned spools", 9, []Switch{{8, "core", "x"}}, []SpoolStrings{{"c1", "core", 6}, {"c2", "core", 2}, {"x", "core", 1}}},
		{"there and back", 9, []Switch{{2, "core", "x"}, {4, "core", "c1"}}, []SpoolStrings{{"c1", "core", 7}, {"x", "core", 2}}},
		{"beyond what is posted", 3, []Switch{{5, "core", "x"}}, []SpoolStrings{{"c1", "core", 3}}},
		{"two wires", 4, []Switch{{1, "wrap", "y"}, {3, "core", "x"}}, []SpoolStrings{{"c1", "core", 3}, {"x", "core", 1}, {"w1", "wrap", 1}, {"y", "wrap", 3}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := fedBatch.Fed(tt.n, nil, tt.switches)
			if !slices.Equal(got, tt.want) {
				t.Errorf("%v, want %v", got, tt.want)
			}
			if _, err := fedBatch.Take(tt.n, nil, got); err != nil {
				t.Error(err)
			}
		})
	}
}

// TestFedIsAlwaysTaken: however spools are switched, the strings add up and the result takes them.
func TestFedIsAlwaysTaken(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 20).Draw(t, "n")
		var switches []Switch
		after := 0
		for range rapid.IntRange(0, 6).Draw(t, "switches") {
			after += rapid.IntRange(0, 6).Draw(t, "more")
			wire := rapid.SampledFrom([]material.WireCode{"core", "wrap"}).Draw(t, "wire")
			spool := rapid.SampledFrom([]stock.SpoolCode{"1", "2", "3"}).Draw(t, "spool")
			switches = append(switches, Switch{after, wire, stock.SpoolCode(wire) + spool})
		}
		taken, err := fedBatch.Take(n, nil, fedBatch.Fed(n, nil, switches))
		if err != nil {
			t.Fatal(err)
		}
		of := map[material.WireCode]int{}
		for _, s := range taken {
			of[s.Wire] += s.Strings
		}
		if n > 0 && (of["core"] != n || of["wrap"] != n) {
			t.Fatalf("%v of %d", of, n)
		}
	})
}

func TestTallied(t *testing.T) {
	at := func(m int) time.Time { return time.Date(2026, 3, 2, 7, m, 0, 0, time.UTC) }
	marks := []Mark{
		{Number: 1, Kind: Count, At: at(0), Person: "Bo", Good: 5, Result: 1},
		{Number: 2, Kind: Feed, At: at(1), Person: "Bo", Wire: "core", Spool: "x", Result: 1},
		{Number: 3, Kind: Begin, At: at(2), Person: "Ines"},
		{Number: 4, Kind: Count, At: at(3), Person: "Ines", Good: 10, UndoneAt: at(4)},
		{Number: 5, Kind: Count, At: at(5), Person: "Bo", Good: 3},
		{Number: 6, Kind: Feed, At: at(6), Person: "Bo", Wire: "wrap", Spool: "y"},
		{Number: 7, Kind: Count, At: at(7), Person: "Bo", Scrapped: 2, Reason: "core broke"},
		{Number: 8, Kind: Count, At: at(8), Person: "Bo", Good: -1},
	}
	got := Tallied(marks)
	if got.Good != 2 || got.Scrapped != 2 || !got.BegunAt.Equal(at(2)) || !got.LastAt.Equal(at(8)) || !slices.Equal(got.People, []string{"Ines", "Bo"}) {
		t.Errorf("%+v", got)
	}
	if want := []Switch{{0, "core", "x"}, {3, "wrap", "y"}}; !slices.Equal(got.Feeds, want) {
		t.Errorf("feeds %v, want %v", got.Feeds, want)
	}
	if !slices.Equal(got.Reasons, []ScrapReason{{"core broke", 2}}) || !slices.Equal(ScrapReasons(marks), got.Reasons) {
		t.Errorf("reasons %v", got.Reasons)
	}
	if next := fedBatch.Next(nil, got); next["core"] != "x" || next["wrap"] != "y" {
		t.Errorf("next %v", next)
	}
	if next := fedBatch.Next(nil, Tally{Good: 6}); next["core"] != "c2" {
		t.Errorf("next %v", next)
	}
}

func TestScrapTakenAway(t *testing.T) {
	marks := []Mark{{Scrapped: 3, Reason: "core broke"}, {Scrapped: 1, Reason: "gauge off"}, {Scrapped: -2, Reason: "told later"}}
	if got := ScrapReasons(marks); !slices.Equal(got, []ScrapReason{{"core broke", 1}, {"gauge off", 1}}) {
		t.Errorf("%v", got)
	}
	if got := ScrapReasons(marks[2:]); len(got) != 0 {
		t.Errorf("%v", got)
	}
}

func TestBehind(t *testing.T) {
	day := time.Date(2026, 3, 2, 7, 0, 0, 0, time.UTC)
	done := Batch{Code: "A", Status: Finished}
	tests := []struct {
		name     string
		progress Progress
		now      time.Duration
		late     time.Duration
		known    bool
	}{
		{"not yet due", Progress{}, 0, 0, false},
		{"not begun", Progress{}, 20 * time.Minute, 20 * time.Minute, true},
		{"set up in time", Progress{Tally: Tally{BegunAt: day}}, 5 * time.Minute, 0, true},
		{"slow at the setup", Progress{Tally: Tally{BegunAt: day}}, 30 * time.Minute, 20 * time.Minute, true},
		{"half wound in time", Progress{Tally: Tally{BegunAt: day, Good: 5}}, 60 * time.Minute, 0, true},
		{"half wound early", Progress{Tally: Tally{BegunAt: day, Good: 4, Scrapped: 1}}, 40 * time.Minute, -20 * time.Minute, true},
		{"in parts", Progress{Posted: Results{Good: 5}}, 70 * time.Minute, 10 * time.Minute, true},
		{"more than planned", Progress{Tally: Tally{BegunAt: day, Good: 12}}, 120 * time.Minute, 10 * time.Minute, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			late, known := Behind([]Batch{done, fedBatch}, map[Code]Progress{"B": tt.progress}, day, day.Add(tt.now))
			if late != tt.late || known != tt.known {
				t.Errorf("%v %v, want %v %v", late, known, tt.late, tt.known)
			}
		})
	}
	if _, known := Behind([]Batch{done}, nil, day, day); known {
		t.Error("a finished day is behind")
	}
}

func TestWinding(t *testing.T) {
	begun := time.Date(2026, 3, 2, 7, 0, 0, 0, time.UTC)
	tests := []struct {
		name string
		p    Progress
		now  time.Duration
		want time.Duration
	}{
		{"not begun", Progress{}, time.Hour, 0},
		{"still set up", Progress{Tally: Tally{BegunAt: begun}}, 5 * time.Minute, 0},
		{"less its setup", Progress{Tally: Tally{BegunAt: begun}}, 70*time.Minute + 10*time.Second, time.Hour},
		{"a later part has no setup", Progress{Tally: Tally{BegunAt: begun}, Posted: Results{Good: 1}}, 70 * time.Minute, 70 * time.Minute},
		{"left over night", Progress{Tally: Tally{BegunAt: begun}}, 20 * time.Hour, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.p.Winding(fedBatch, begun.Add(tt.now)); got != tt.want {
				t.Errorf("%v, want %v", got, tt.want)
			}
		})
	}
}
