package store

import (
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/workshop"
)

type jobRunRow struct {
	workshop.JobRun
	EndedAt *time.Time
}

func (r jobRunRow) run() workshop.JobRun {
	r.JobRun.StartedAt, r.JobRun.EndedAt = r.StartedAt.UTC(), time.Time{}
	if r.EndedAt != nil {
		r.JobRun.EndedAt = r.EndedAt.UTC()
	}
	return r.JobRun
}

// JobRun gives a job's run for a day.
func (r *reader) JobRun(job string, on calendar.Date) (workshop.JobRun, error) {
	row, err := one[jobRunRow](r, "SELECT * FROM job_runs WHERE job = ? AND day = ?", job, day(on))
	return row.run(), named("run of "+job+" for", on.String(), err)
}

// JobRuns gives the last runs of each job, the newest first.
func (r *reader) JobRuns(most int) ([]workshop.JobRun, error) {
	rows, err := list[jobRunRow](r, `SELECT job, day, attempt, started_at, ended_at, outcome, found FROM (
			SELECT j.*, row_number() OVER (PARTITION BY job ORDER BY day DESC) AS nth FROM job_runs j) ranked
		WHERE nth <= ? ORDER BY day DESC, job`, most)
	runs := make([]workshop.JobRun, len(rows))
	for i, row := range rows {
		runs[i] = row.run()
	}
	return runs, err
}

// SaveJobRun keeps a run in the place of that of its job and day.
func (t *tx) SaveJobRun(run workshop.JobRun) error {
	var ended any
	if !run.EndedAt.IsZero() {
		ended = instant(run.EndedAt)
	}
	_, err := t.exec(`INSERT INTO job_runs (job, day, attempt, started_at, ended_at, outcome, found) VALUES (?, ?, ?, ?, ?, ?, ?)
		ON CONFLICT (job, day) DO UPDATE SET attempt = excluded.attempt, started_at = excluded.started_at, ended_at = excluded.ended_at,
			outcome = excluded.outcome, found = excluded.found`, run.Job, day(run.Day), run.Attempt, instant(run.StartedAt), ended, run.Outcome, run.Found)
	return named("run of "+run.Job+" for", run.Day.String(), err)
}

// SentNotices gives what left the shop about a night.
func (r *reader) SentNotices(night calendar.Date) ([]workshop.SentNotice, error) {
	rows, err := list[workshop.SentNotice](r, "SELECT * FROM sent_notices WHERE night = ? ORDER BY channel", day(night))
	for i := range rows {
		rows[i].At = rows[i].At.UTC()
	}
	return rows, err
}

// SaveNotice keeps what left the shop about a night on a channel.
func (t *tx) SaveNotice(n workshop.SentNotice) error {
	_, err := t.exec(`INSERT INTO sent_notices (night, channel, at, outcome, detail) VALUES (?, ?, ?, ?, ?)
		ON CONFLICT (night, channel) DO UPDATE SET at = excluded.at, outcome = excluded.outcome, detail = excluded.detail`,
		day(n.Night), n.Channel, instant(n.At), n.Outcome, n.Detail)
	return named("notice about", n.Night.String(), err)
}

// DropAnswers forgets old answers of the API.
func (t *tx) DropAnswers(before time.Time) (int, error) {
	n, err := t.exec("DELETE FROM answers WHERE at < ?", instant(before))
	return int(n), err
}
