package workshop

import (
	"context"
	"errors"
	"fmt"
	"time"

	"windingroom/internal/calendar"
)

const (
	// MostAttempts is how often a run of a job is tried for one day.
	MostAttempts = 3
	// Lease is after how long a run that has not ended is given up: the program that began it is gone. No run takes so long.
	Lease = 2 * time.Hour
	// retryAfter is how long a failed run rests before it is tried again.
	retryAfter = 10 * time.Minute
)

// BeginRun claims the run of a job for a day; false when it is done, under way, or has failed too often. The claim is a row, written in one
// transaction, so of two programs on one database one gets it. Only a lead or an owner may, and the timetable acts as one.
func (s *Shop) BeginRun(ctx context.Context, job string, day calendar.Date) (run JobRun, claimed bool, err error) {
	if _, err := allow(ctx, "running a job", Lead); err != nil {
		return run, false, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		claimed = false
		now := s.Now().UTC()
		if err := forgive(tx, job, day); err != nil {
			return err
		}
		before, err := tx.JobRun(job, day)
		if err != nil && !errors.Is(err, ErrNotFound) {
			return err
		}
		if err == nil && !before.mayRunAgain(now) {
			return nil
		}
		run = JobRun{Job: job, Day: day, Attempt: before.Attempt + 1, StartedAt: now, Outcome: Running}
		claimed = true
		return tx.SaveJobRun(run)
	})
	return run, claimed, err
}

// mayRunAgain says whether a run that was begun may be begun once more.
func (r JobRun) mayRunAgain(now time.Time) bool {
	switch {
	case r.Attempt >= MostAttempts:
		return false
	case r.Outcome == Failed:
		return now.Sub(r.EndedAt) >= retryAfter || now.Before(r.StartedAt)
	case r.Outcome == Running:
		return now.Sub(r.StartedAt) >= Lease
	}
	return false
}

// forgive makes way on days to come for runs that were made while the clock was wrong. A clock that is ahead by minutes makes at most tomorrow's.
func forgive(tx Tx, job string, day calendar.Date) error {
	runs, err := tx.JobRuns(1)
	if err != nil {
		return err
	}
	for _, r := range runs {
		if r.Job != job || r.Day <= day+1 || r.Outcome == Failed {
			continue
		}
		r.Outcome, r.EndedAt, r.Found = Failed, r.StartedAt, "it ran while the clock was wrong, and runs again on its day"
		if err := tx.SaveJobRun(r); err != nil {
			return err
		}
	}
	return nil
}

// EndRun notes what a run found, or why it failed.
func (s *Shop) EndRun(ctx context.Context, run JobRun, found string, failure error) error {
	if _, err := allow(ctx, "running a job", Lead); err != nil {
		return err
	}
	run.EndedAt, run.Outcome, run.Found = s.Now().UTC(), Done, found
	if failure != nil {
		run.Outcome, run.Found = Failed, failure.Error()
	}
	return s.Store.InTx(ctx, func(tx Tx) error {
		now, err := tx.JobRun(run.Job, run.Day)
		if err != nil {
			return err
		}
		if now.Attempt != run.Attempt {
			return fmt.Errorf("run of %s for %s was given up and begun again: %w", run.Job, run.Day, ErrChanged)
		}
		return tx.SaveJobRun(run)
	})
}

// JobRuns gives the last runs of the jobs, the newest first, at most so many of each. Everyone in the shop may see them.
func (s *Shop) JobRuns(ctx context.Context, most int) (runs []JobRun, err error) {
	if _, err := allow(ctx, "seeing the jobs", Roles()...); err != nil {
		return nil, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		runs, err = r.JobRuns(most)
		return err
	})
	return runs, err
}

// keptFor is how long answers of the API are kept: longer than anyone repeats a request.
const keptFor = 30 * 24 * time.Hour

// ForgetAnswers forgets the API's answers of a month ago and says how many. Only an owner or a lead may.
func (s *Shop) ForgetAnswers(ctx context.Context) (n int, err error) {
	if _, err := allow(ctx, "forgetting answers", Lead); err != nil {
		return 0, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		n, err = tx.DropAnswers(s.Now().Add(-keptFor))
		return err
	})
	return n, err
}
