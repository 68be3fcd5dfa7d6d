package jobs

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/store"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// watch is a clock that tests move.
type watch struct {
	mu  sync.Mutex
	now time.Time
}

func (w *watch) Now() time.Time {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.now
}

func (w *watch) set(t time.Time) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.now = t
}

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// counted is a timetable of one job that notes the days it was done for.
type counted struct {
	*Timetable
	*watch
	days []calendar.Date
	fail error
}

func newCounted(t testing.TB, zoneName string, at Clock) *counted {
	t.Helper()
	shop := testkit.Shop(t)
	c := &counted{watch: &watch{}}
	shop.Now, shop.Zone = c.watch.Now, zone(t, zoneName)
	c.Timetable = &Timetable{Shop: shop, Log: slog.New(slog.DiscardHandler), At: at, Jobs: []Job{{"count", func(_ context.Context, day calendar.Date) (string, error) {
		c.days = append(c.days, day)
		return "counted", c.fail
	}}}}
	return c
}

func (c *counted) runDue(t testing.TB) {
	t.Helper()
	c.RunDue(workshop.WithPerson(t.Context(), Person))
}

func TestNewClock(t *testing.T) {
	for _, c := range []Clock{{3, 30}, {}, {1, 59}, {23, 59}, {3, 0}} {
		if got, err := NewClock(c.Hour, c.Minute); err != nil || got != c {
			t.Errorf("%v is %v, %v", c, got, err)
		}
	}
	for _, c := range []Clock{{24, 0}, {2, 0}, {2, 59}, {3, 60}, {-1, 0}, {3, -1}} {
		if got, err := NewClock(c.Hour, c.Minute); err == nil {
			t.Errorf("%v is %v", c, got)
		}
	}
}

// Through nights on which clocks change, each day is done once, in its turn, whatever the time of day.
func TestEachDayOnceThroughDaylightSaving(t *testing.T) {
	tests := []struct {
		zone  string
		first calendar.Date
	}{
		{"Europe/Berlin", calendar.NewDate(2026, time.March, 28)},
		{"Europe/Berlin", calendar.NewDate(2026, time.October, 24)},
		{"America/New_York", calendar.NewDate(2026, time.March, 7)},
		{"America/New_York", calendar.NewDate(2026, time.October, 31)},
		{"Africa/Cairo", calendar.NewDate(2026, time.April, 23)},       // midnight does not exist
		{"Africa/Cairo", calendar.NewDate(2026, time.October, 29)},     // midnight comes twice
		{"Australia/Lord_Howe", calendar.NewDate(2026, time.April, 4)}, // by half an hour
		{"UTC", calendar.NewDate(2026, time.March, 2)},
	}
	for _, tt := range tests {
		for _, at := range []Clock{{0, 10}, {0, 30}, {1, 30}, {3, 0}, {3, 30}, {23, 45}} {
			t.Run(fmt.Sprintf("%s %s %v", strings.ReplaceAll(tt.zone, "/", "-"), tt.first, at), func(t *testing.T) {
				c := newCounted(t, tt.zone, at)
				start, end := tt.first.In(c.Shop.Zone), (tt.first + 3).In(c.Shop.Zone)
				for now := start; now.Before(end); now = now.Add(15 * time.Minute) {
					c.set(now)
					c.runDue(t)
				}
				var want []calendar.Date
				for day := tt.first - 1; day < tt.first+3; day++ {
					want = append(want, day) // the first is caught up at the start
				}
				if len(c.days) != len(want) {
					t.Fatalf("done for %v, want %v", c.days, want)
				}
				for i := range want {
					if c.days[i] != want[i] {
						t.Errorf("done for %v, want %v", c.days, want)
					}
				}
			})
		}
	}
}

func TestClockSetBack(t *testing.T) {
	c := newCounted(t, "Europe/Berlin", Clock{3, 30})
	monday := calendar.NewDate(2026, time.March, 2)
	at := func(day calendar.Date, hour int) time.Time {
		return day.In(c.Shop.Zone).Add(time.Duration(hour) * time.Hour)
	}
	for _, step := range []struct {
		name string
		now  time.Time
		want calendar.Date // that is done now; zero for none
	}{
		{"in the morning", at(monday, 6), monday},
		{"set back before the time", at(monday, 1), monday - 1},
		{"and past it again", at(monday, 5), 0},
		{"a month ahead by mistake", at(monday+30, 6), monday + 30},
		{"set right", at(monday, 8), 0},
		{"the next day", at(monday+1, 8), monday + 1},
		{"the day that was run by mistake", at(monday+30, 8), monday + 30},
		{"and once only", at(monday+30, 9), 0},
	} {
		c.set(step.now)
		c.days = nil
		c.runDue(t)
		if step.want.IsZero() && len(c.days) > 0 || !step.want.IsZero() && (len(c.days) != 1 || c.days[0] != step.want) {
			t.Errorf("%s: done for %v, want %s", step.name, c.days, step.want)
		}
	}
}

func TestNext(t *testing.T) {
	c := newCounted(t, "Europe/Berlin", Clock{3, 30})
	for now, want := range map[string]string{
		"2026-03-02T03:29:00+01:00": "2026-03-02T03:30:00+01:00",
		"2026-03-02T03:30:00+01:00": "2026-03-03T03:30:00+01:00",
		"2026-03-28T12:00:00+01:00": "2026-03-29T03:30:00+02:00", // the night clocks go forward
	} {
		at, err := time.Parse(time.RFC3339, now)
		if err != nil {
			t.Fatal(err)
		}
		c.set(at)
		if got := c.Next().Format(time.RFC3339); got != want {
			t.Errorf("at %s the next run is %s, want %s", now, got, want)
		}
	}
}

func TestMachineOffForAWeek(t *testing.T) {
	c := newCounted(t, "UTC", Clock{3, 30})
	monday := calendar.NewDate(2026, time.March, 2)
	c.set(monday.Time().Add(4 * time.Hour))
	c.runDue(t)
	c.set((monday + 7).Time().Add(10 * time.Hour)) // switched on at ten
	c.runDue(t)
	c.runDue(t)
	if len(c.days) != 2 || c.days[1] != monday+7 {
		t.Errorf("done for %v: the missed night is done once, for the day it answers for", c.days)
	}
	c.set((monday + 8).Time().Add(2 * time.Hour)) // before the time: nothing is due
	c.runDue(t)
	if len(c.days) != 2 {
		t.Errorf("done for %v", c.days)
	}
}

func TestAFailedRunIsRecordedAndTriedAgainAFewTimes(t *testing.T) {
	c := newCounted(t, "UTC", Clock{3, 30})
	monday := calendar.NewDate(2026, time.March, 2)
	c.fail = errors.New("no room on the disk")
	for minutes := 0; minutes < 120; minutes += 5 {
		c.set(monday.Time().Add(4*time.Hour + time.Duration(minutes)*time.Minute))
		c.runDue(t)
	}
	if len(c.days) != workshop.MostAttempts {
		t.Errorf("tried %d times", len(c.days))
	}
	runs, err := c.Shop.JobRuns(workshop.WithPerson(t.Context(), Person), 5)
	if err != nil || len(runs) != 1 || runs[0].Outcome != workshop.Failed || runs[0].Found != "no room on the disk" || runs[0].Attempt != workshop.MostAttempts || runs[0].EndedAt.IsZero() {
		t.Errorf("recorded %+v, %v", runs, err)
	}
	c.fail = nil
	c.set((monday + 1).Time().Add(4 * time.Hour))
	c.runDue(t)
	if runs, err = c.Shop.JobRuns(workshop.WithPerson(t.Context(), Person), 1); err != nil || len(runs) != 1 || runs[0].Outcome != workshop.Done || runs[0].Found != "counted" {
		t.Errorf("the next day: %+v, %v", runs, err)
	}
}

func TestAPanicIsAFailure(t *testing.T) {
	c := newCounted(t, "UTC", Clock{3, 30})
	c.set(calendar.NewDate(2026, time.March, 2).Time().Add(4 * time.Hour))
	c.Jobs[0].Do = func(context.Context, calendar.Date) (string, error) { panic("no such wire") }
	after := 0
	c.Jobs = append(c.Jobs, Job{"after", func(context.Context, calendar.Date) (string, error) { after++; return "", nil }})
	c.runDue(t)
	runs, err := c.Shop.JobRuns(workshop.WithPerson(t.Context(), Person), 1)
	if err != nil || len(runs) != 2 || runs[1].Outcome != workshop.Failed || !strings.Contains(runs[1].Found, "no such wire") || after != 1 {
		t.Errorf("recorded %+v, %v; the next job ran %d times", runs, err, after)
	}
}

// A program that ended during a run left its row running: it is given up after a while, and not before.
func TestARunWhoseProgramEnded(t *testing.T) {
	c := newCounted(t, "UTC", Clock{3, 30})
	ctx := workshop.WithPerson(t.Context(), Person)
	four := calendar.NewDate(2026, time.March, 2).Time().Add(4 * time.Hour)
	c.set(four)
	lost, claimed, err := c.Shop.BeginRun(ctx, "count", calendar.NewDate(2026, time.March, 2))
	if err != nil || !claimed {
		t.Fatal(claimed, err)
	}
	c.set(four.Add(workshop.Lease - time.Minute))
	c.runDue(t)
	if len(c.days) != 0 {
		t.Error("done while another may still be at it")
	}
	c.set(four.Add(workshop.Lease))
	c.runDue(t)
	if len(c.days) != 1 {
		t.Errorf("done for %v", c.days)
	}
	if err := c.Shop.EndRun(ctx, lost, "late", nil); !errors.Is(err, workshop.ErrChanged) {
		t.Errorf("the lost run ended as %v", err)
	}
}

// Servers on one database do each job of a day once between them.
func TestSeveralServersOnOneDatabase(t *testing.T) {
	for name, address := range map[string]func(*testing.T) string{
		"sqlite":   func(t *testing.T) string { return "sqlite:" + filepath.Join(t.TempDir(), "shop.db") },
		"postgres": func(t *testing.T) string { return testkit.Postgres(t) },
	} {
		t.Run(name, func(t *testing.T) {
			at := address(t)
			var done [3]atomic.Int64
			var servers []*Timetable
			for range 4 {
				db, err := store.Open(t.Context(), at)
				if err != nil {
					t.Fatal(err)
				}
				defer db.Close()
				if _, _, err := db.Migrate(t.Context()); err != nil {
					t.Fatal(err)
				}
				shop := &workshop.Shop{Store: db, Name: "test", Now: func() time.Time { return testkit.Morning(t) }, Zone: time.UTC}
				table := &Timetable{Shop: shop, Log: slog.New(slog.DiscardHandler), At: Clock{3, 30}}
				for i, job := range []string{"backup", "nightly check", "tidy"} {
					table.Jobs = append(table.Jobs, Job{job, func(context.Context, calendar.Date) (string, error) {
						done[i].Add(1)
						time.Sleep(2 * time.Millisecond) // as work takes time
						return "", nil
					}})
				}
				servers = append(servers, table)
			}
			var all sync.WaitGroup
			for _, s := range servers {
				for range 2 {
					all.Go(func() { s.RunDue(workshop.WithPerson(t.Context(), Person)) })
				}
			}
			all.Wait()
			for i := range done {
				if n := done[i].Load(); n != 1 {
					t.Errorf("%s was done %d times", servers[0].Jobs[i].Name, n)
				}
			}
		})
	}
}

func TestStartCatchesUpAndStops(t *testing.T) {
	c := newCounted(t, "UTC", Clock{3, 30})
	c.set(calendar.NewDate(2026, time.March, 2).Time().Add(9 * time.Hour))
	began := make(chan struct{})
	var stopped atomic.Bool
	c.Jobs[0].Do = func(ctx context.Context, _ calendar.Date) (string, error) {
		close(began)
		<-ctx.Done()
		stopped.Store(true)
		return "", ctx.Err()
	}
	stop, err := c.Start(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	select {
	case <-began:
	case <-time.After(20 * time.Second):
		t.Fatal("what was missed does not run at the start")
	}
	stop()
	if !stopped.Load() {
		t.Error("stop did not wait for the run")
	}
	runs, err := c.Shop.JobRuns(workshop.WithPerson(t.Context(), Person), 1)
	if err != nil || len(runs) != 1 || runs[0].Outcome != workshop.Failed {
		t.Errorf("the run that was stopped is %+v, %v", runs, err)
	}
}
