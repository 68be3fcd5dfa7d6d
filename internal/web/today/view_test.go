package today

import (
	"slices"
	"strings"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

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

// drawn is a day of two machines, of which one winds.
func drawn(now time.Duration, batches ...batch.Batch) day {
	begins := time.Date(2026, 3, 2, 7, 0, 0, 0, time.UTC)
	d := day{date: calendar.NewDate(2026, 3, 2), present: true, planned: true}
	d.plan.Machines = []planning.MachineDay{{Machine: "a", Batches: batches}, {Machine: "idle"}}
	d.progress = workshop.DayProgress{Begins: begins, Now: begins.Add(now), Of: map[batch.Code]batch.Progress{}, Behind: map[catalog.MachineCode]time.Duration{}}
	return d
}

func TestLanes(t *testing.T) {
	d := drawn(15*time.Minute,
		batch.Batch{Code: "B1", Sequence: 1, Status: batch.Released, Recipe: "R", ToWind: 10, Setup: 30 * time.Minute, Ends: time.Hour},
		batch.Batch{Code: "B2", Sequence: 2, Status: batch.Released, ToWind: 4, Starts: time.Hour, Ends: 91 * time.Minute})
	d.progress.Of["B1"] = batch.Progress{Tally: batch.Tally{BegunAt: d.progress.Begins, Good: 5}}
	v := newLanes(d, true, true)
	if len(v.Hours) != 3 || v.Hours[2].X != "100.000%" || v.Hours[2].Label != "09:00" || v.Now != "12.500%" {
		t.Errorf("hours are %v, now at %s", v.Hours, v.Now)
	}
	if len(v.Rows) != 2 || len(v.Rows[1].Bars) != 0 || v.Rows[0].Bench != "/today/bench/a" || v.Rows[1].Bench != "" {
		t.Fatalf("rows are %+v", v.Rows)
	}
	first, second := v.Rows[0].Bars[0], v.Rows[0].Bars[1]
	if first.Setup != "0.000%" || first.SetupWidth != "25.000%" || first.Run != "25.000%" || first.RunWidth != "25.000%" || first.Done != "12.500%" || first.State != running {
		t.Errorf("the first bar is %+v", first)
	}
	if second.Setup != "50.000%" || second.SetupWidth != "0.000%" || second.State != waiting || second.Late {
		t.Errorf("the second bar is %+v", second)
	}
	if says := v.Rows[0].Says; !strings.HasPrefix(says, "Runs: 1 of 2, R, 5 of 10 strings.") {
		t.Errorf("says %q", says)
	}
	if v := newLanes(drawn(0), false, false); len(v.Hours) != 2 || v.Rows[0].Says != "No work on it." || v.Rows[0].Acts != nil {
		t.Errorf("an idle day is drawn as %+v", v)
	}
}

func TestLate(t *testing.T) {
	b := batch.Batch{Code: "B1", Status: batch.Released, ToWind: 10, Starts: time.Hour, Ends: 2 * time.Hour}
	begun := batch.Progress{Tally: batch.Tally{BegunAt: time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)}}
	tests := []struct {
		name     string
		now      time.Duration
		progress batch.Progress
		status   batch.Status
		want     bool
	}{
		{"before its time", 50 * time.Minute, batch.Progress{}, batch.Released, false},
		{"not begun", 70 * time.Minute, batch.Progress{}, batch.Released, true},
		{"begun", 70 * time.Minute, begun, batch.Released, false},
		{"begun and not done", 130 * time.Minute, begun, batch.Released, true},
		{"done", 130 * time.Minute, begun, batch.Finished, false},
		{"only proposed", 130 * time.Minute, batch.Progress{}, batch.Proposed, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			b.Status = tt.status
			d := drawn(tt.now, b)
			d.progress.Of["B1"] = tt.progress
			if got := d.late(b); got != tt.want {
				t.Errorf("late: %v", got)
			}
		})
	}
}

func TestAnswer(t *testing.T) {
	b := batch.Batch{Code: "B1", Status: batch.Released, ToWind: 10, Ends: 2 * time.Hour}
	done := b
	done.Code, done.Status = "B2", batch.Finished
	d := drawn(0, b, done)
	if got := d.answer(); got != "1 of 2 batches wound, all orders in time" {
		t.Error(got)
	}
	d = drawn(0, b)
	d.plan.Late = []order.Code{"O-1"}
	if got := d.answer(); got != "1 batch on 1 machine, 1 order late" {
		t.Error(got)
	}
	d.plan.Setup, d.plan.SetupBound = time.Hour, time.Hour
	if got := d.note(); !strings.HasSuffix(got, "the least possible.") {
		t.Error(got)
	}
	d.progress.Behind["a"] = 20 * time.Minute
	if got := d.note(); !strings.Contains(got, "Behind: a by 20\u00a0min.") {
		t.Errorf("%q", got)
	}
	if got := (day{}).answer(); got != "No plan yet for this day" {
		t.Error(got)
	}
}

func TestWayBack(t *testing.T) {
	minutes := 30 * time.Minute
	before := workshop.DayPlan{Allowed: 10 * time.Minute}
	before.Machines = []planning.MachineDay{{Machine: "a", Batches: []batch.Batch{{Code: "B1", Machine: "a", Sequence: 3, Recipe: "R", Scale: 25 * measure.Inch}}}}
	tests := []struct {
		name string
		c    workshop.DayChanges
		want []string
	}{
		{"pin", workshop.DayChanges{Pin: []batch.Code{"B1"}}, []string{"unpin", "B1"}},
		{"hold", workshop.DayChanges{Hold: []batch.Code{"b1"}}, []string{"resume", "R@25"}},
		{"hold what is not there", workshop.DayChanges{Hold: []batch.Code{"B9"}}, nil},
		{"move", workshop.DayChanges{Move: []planning.Move{{Batch: "B1", Machine: "b", Place: 1}}}, []string{"move", "B1", "machine", "a", "place", "3"}},
		{"down", workshop.DayChanges{Down: []catalog.MachineCode{"a"}}, []string{"up", "a"}},
		{"overtime", workshop.DayChanges{Overtime: &minutes}, []string{"overtime", "10"}},
		{"anew", workshop.DayChanges{Anew: true}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := wayBack(tt.c, before); !slices.Equal(got, tt.want) {
				t.Errorf("%v, want %v", got, tt.want)
			}
		})
	}
}

func TestMassesInTheShopsUnit(t *testing.T) {
	pounds := units.Units{Pounds: true, Metric: true}
	tests := []struct{ got, want string }{
		{page.Reworded(pounds, "wire PB-11.5 is short by 28.350 g; 1.2 g more lie in remnants"), "wire PB-11.5 is short by 1.00\u00a0oz; 0.04\u00a0oz more lie in remnants"},
		{page.Reworded(units.Units{}, "wire W-2 is short by 28.350 g"), "wire W-2 is short by 28.4\u00a0g"},
		{strings.Join(inUnits(pounds, []batch.Caution{{Before: "holds ", Mass: 28_350, After: " less"}, {Before: "a lay of ", Size: 10 * measure.Thou}, batch.Warn("%d %%", 4)}), "; "),
			"holds 1.00\u00a0oz less; a lay of 0.254\u00a0mm; 4 %"},
	}
	for _, tt := range tests {
		if tt.got != tt.want {
			t.Errorf("%q, want %q", tt.got, tt.want)
		}
	}
}
