package today

import (
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/measure"
	"windingroom/internal/planning"
)

func TestSpell(t *testing.T) {
	tests := []struct {
		d    time.Duration
		want string
	}{
		{0, "0 min"},
		{90 * time.Second, "1.5 min"},
		{59*time.Minute + 58*time.Second, "1 h 0 min"},
		{65*time.Minute + 30*time.Second, "1 h 5.5 min"},
		{10 * time.Hour, "10 h 0 min"},
	}
	for _, tt := range tests {
		if got := spell(tt.d); got != tt.want {
			t.Errorf("%v is %q, want %q", tt.d, got, tt.want)
		}
	}
}

func TestGramsLineUp(t *testing.T) {
	for mass, want := range map[measure.Mass]string{0: "0.000 g", 7: "0.007 g", 101570: "101.570 g", -1500: "-1.500 g"} {
		if got := grams(mass); got != want {
			t.Errorf("%d mg is %q, want %q", mass, got, want)
		}
	}
}

func TestRuns(t *testing.T) {
	tests := []struct {
		numbers []int
		want    string
	}{
		{nil, ""}, {[]int{3}, "3"}, {[]int{1, 2}, "1, 2"}, {[]int{1, 2, 3, 4, 6}, "1 to 4, 6"}, {[]int{5, 4, 4}, "5, 4, 4"},
	}
	for _, tt := range tests {
		if got := runs(tt.numbers); got != tt.want {
			t.Errorf("%v is %q, want %q", tt.numbers, got, tt.want)
		}
	}
}

func TestLeftOversLoseNoString(t *testing.T) {
	list := []planning.NotPlanned{
		{Order: "A", Line: 1, Position: 1, Strings: 5, Why: planning.ForTime},
		{Order: "A", Line: 1, Position: 2, Strings: 5, Why: planning.ForTime},
		{Order: "A", Line: 1, Position: 3, Strings: 2, Why: planning.ForWire, Detail: "wire W is short by 1 g"},
		{Order: "A", Line: 2, Position: 4, Strings: 1, Why: planning.ForWire, Detail: "wire W is short by 1 g"},
		{Order: "B", Line: 2, Position: 5, Strings: 1, Why: planning.ForMachine},
	}
	got, strings := leftOvers(list)
	want := []leftOver{
		{"A", 1, "1, 2", 10, "no time left", ""},
		{"A", 1, "3", 2, "not enough wire", "wire W is short by 1 g"},
		{"A", 2, "4", 1, "not enough wire", "wire W is short by 1 g"},
		{"B", 2, "5", 1, "no machine takes it", ""},
	}
	if strings != 14 || len(got) != len(want) {
		t.Fatalf("%d strings in %d rows: %v", strings, len(got), got)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("row %d is %v, want %v", i, got[i], want[i])
		}
	}
}

func TestEveryReasonHasWords(t *testing.T) {
	for _, w := range []planning.Why{planning.ForWire, planning.ForTime, planning.ForMachine} {
		if why[w] == "" {
			t.Errorf("%s has no words", w)
		}
	}
}

func TestChart(t *testing.T) {
	day := []planning.MachineDay{
		{Machine: "a", Batches: []batch.Batch{
			{Code: "B1", Sequence: 1, Starts: 0, Setup: 30 * time.Minute, Ends: time.Hour},
			{Code: "B2", Sequence: 2, Starts: time.Hour, Setup: 0, Ends: 91 * time.Minute},
		}},
		{Machine: "idle"},
	}
	c := newChart(day)
	if len(c.Hours) != 3 || c.Hours[2].X != chartWidth || c.Hours[2].Label != "2 h" {
		t.Errorf("hours are %v", c.Hours)
	}
	if len(c.Rows) != 2 || len(c.Rows[1].Bars) != 0 || c.Height <= c.Rows[1].BarY {
		t.Fatalf("rows are %v in a height of %d", c.Rows, c.Height)
	}
	first, second := c.Rows[0].Bars[0], c.Rows[0].Bars[1]
	if first.X != 0 || first.SetupWidth != 250 || first.RunX != 250 || first.RunWidth != 250 || first.Label != "1" {
		t.Errorf("the first bar is %+v", first)
	}
	if second.X != first.RunX+first.RunWidth || second.SetupWidth != 0 {
		t.Errorf("the second bar is %+v", second)
	}
}

func TestChartOfAnIdleDay(t *testing.T) {
	if c := newChart([]planning.MachineDay{{Machine: "idle"}}); len(c.Hours) != 2 || len(c.Rows) != 1 {
		t.Errorf("an idle day is drawn as %+v", c)
	}
}
