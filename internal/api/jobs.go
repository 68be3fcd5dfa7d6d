package api

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/workshop"
)

func (s *server) jobs(api huma.API) {
	huma.Register(api, operation(http.MethodGet, "/jobs", "jobs", "How the last runs of the nightly jobs went"), s.jobRuns)
}

// Jobs is the last runs of the nightly jobs.
type Jobs struct {
	Runs []JobRun `json:"runs" doc:"The newest first."`
}

// JobRun is one of them.
type JobRun struct {
	Job       string  `json:"job"`
	Day       string  `json:"day"`
	Attempt   int     `json:"attempt"`
	StartedAt string  `json:"started_at"`
	EndedAt   *string `json:"ended_at"`
	Outcome   string  `json:"outcome" enum:"running,done,failed"`
	Found     string  `json:"found" doc:"What it found, or why it failed."`
}

// JobsBody gives runs as JSON.
func JobsBody(runs []workshop.JobRun) Jobs {
	body := Jobs{Runs: []JobRun{}}
	for _, r := range runs {
		run := JobRun{Job: r.Job, Day: r.Day.String(), Attempt: r.Attempt, StartedAt: r.StartedAt.UTC().Format(rfc3339), Outcome: string(r.Outcome), Found: r.Found}
		if !r.EndedAt.IsZero() {
			ended := r.EndedAt.UTC().Format(rfc3339)
			run.EndedAt = &ended
		}
		body.Runs = append(body.Runs, run)
	}
	return body
}

func (s *server) jobRuns(ctx context.Context, in *struct {
	Most int `query:"most" default:"7" minimum:"1" maximum:"400" doc:"Of each job."`
}) (*answer[Jobs], error) {
	runs, err := s.shop.JobRuns(ctx, in.Most)
	return answered(runs, err, JobsBody)
}
