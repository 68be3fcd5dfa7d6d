package jobs

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"runtime/debug"
	"time"

	"github.com/robfig/cron/v3"

	"windingroom/internal/calendar"
	"windingroom/internal/workshop"
)

// Job is something the shop does each night.
type Job struct {
	Name string
	// Do does it for a day and says what it found. It may be begun twice for a day, after a run that failed.
	Do func(ctx context.Context, day calendar.Date) (found string, err error)
}

// Timetable runs jobs one after the other, at one time of day.
type Timetable struct {
	Shop *workshop.Shop
	Log  *slog.Logger
	At   Clock
	Jobs []Job
}

// Person is who acts in a job.
var Person = workshop.Person{Name: "nightly jobs", Role: workshop.Lead, Via: "job"}

// most is how long a run may take. It must end well before its claim is given up.
const most = workshop.Lease / 2

// Start runs what is due now, and from then on each night. stop has running jobs end, and waits for them a while.
func (t *Timetable) Start(ctx context.Context) (stop func(), err error) {
	ctx, cancel := context.WithCancel(workshop.WithPerson(ctx, Person))
	log := cron.PrintfLogger(slog.NewLogLogger(t.Log.Handler(), slog.LevelError))
	// One chain around one job: whatever calls it, it runs once at a time in this program.
	work := cron.NewChain(cron.Recover(log), cron.SkipIfStillRunning(cron.DiscardLogger)).Then(cron.FuncJob(func() { t.RunDue(ctx) }))
	c := cron.New(cron.WithLocation(t.Shop.Zone), cron.WithLogger(cron.DiscardLogger))
	for _, spec := range []string{
		fmt.Sprintf("%d %d * * *", t.At.Minute, t.At.Hour),
		"@every 5m", // what was missed, failed, or came while the machine slept
	} {
		if _, err := c.AddJob(spec, work); err != nil {
			cancel()
			return nil, fmt.Errorf("timetable %s: %w", spec, err)
		}
	}
	first := make(chan struct{})
	go func() { defer close(first); work.Run() }()
	c.Start()
	return func() {
		cancel()
		ended := c.Stop()
		patience := time.After(10 * time.Second)
		for _, done := range []<-chan struct{}{ended.Done(), first} {
			select {
			case <-done:
			case <-patience:
				return
			}
		}
	}, nil
}

// Names gives the jobs in the order in which they run.
func (t *Timetable) Names() []string {
	names := make([]string, len(t.Jobs))
	for i, j := range t.Jobs {
		names[i] = j.Name
	}
	return names
}

// Next gives when the jobs run next.
func (t *Timetable) Next() time.Time {
	return t.At.on(t.At.due(t.Shop.Now(), t.Shop.Zone)+1, t.Shop.Zone)
}

// RunDue runs every job whose last time has come and that has not run for that day.
func (t *Timetable) RunDue(ctx context.Context) {
	for _, j := range t.Jobs {
		if ctx.Err() != nil {
			return
		}
		day := t.At.due(t.Shop.Now(), t.Shop.Zone)
		if err := t.run(ctx, j, day); err != nil {
			t.Log.Error("job failed", "job", j.Name, "day", day.String(), "error", err)
		}
	}
}

// run does a job for a day if nobody else did or does, and records it.
func (t *Timetable) run(ctx context.Context, j Job, day calendar.Date) error {
	run, claimed, err := t.Shop.BeginRun(ctx, j.Name, day)
	if err != nil || !claimed {
		return err
	}
	bounded, cancel := context.WithTimeout(ctx, most)
	defer cancel()
	found, failure := guarded(bounded, j, day)
	// The run is recorded although the program stops.
	if err := t.Shop.EndRun(context.WithoutCancel(ctx), run, found, failure); err != nil || failure != nil {
		return errors.Join(failure, err)
	}
	t.Log.Info("job done", "job", j.Name, "day", day.String(), "found", found)
	return nil
}

// guarded turns a panic of a job into its failure, so that it is recorded and the next job runs.
func guarded(ctx context.Context, j Job, day calendar.Date) (found string, err error) {
	defer func() {
		if v := recover(); v != nil {
			err = fmt.Errorf("panic: %v\n%s", v, debug.Stack())
		}
	}()
	return j.Do(ctx, day)
}
