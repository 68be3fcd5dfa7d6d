package httpd

import (
	"context"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"windingroom/internal/workshop"
)

// jobStates shows how the last run of each nightly job went, read when somebody asks. A database that does not answer leaves them out: the
// other figures are still there.
type jobStates struct{ shop *workshop.Shop }

var (
	jobFailed = prometheus.NewDesc("windingroom_job_failed", "1 where the last run of the nightly job failed, else 0.", []string{"job"}, nil)
	jobBegan  = prometheus.NewDesc("windingroom_job_last_start_timestamp_seconds", "When the last run of the nightly job began.", []string{"job"}, nil)
	jobDone   = prometheus.NewDesc("windingroom_job_last_success_timestamp_seconds", "When the nightly job last ended well.", []string{"job"}, nil)
)

// Describe names the figures.
func (jobStates) Describe(to chan<- *prometheus.Desc) {
	for _, d := range []*prometheus.Desc{jobFailed, jobBegan, jobDone} {
		to <- d
	}
}

// Collect reads them.
func (j jobStates) Collect(to chan<- prometheus.Metric) {
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
	defer cancel()
	runs, err := j.shop.JobRuns(workshop.WithPerson(ctx, workshop.Person{Name: "metrics", Role: workshop.Lead}), 14)
	if err != nil {
		return
	}
	last, done := map[string]bool{}, map[string]bool{}
	for _, r := range runs { // the newest first
		if !last[r.Job] {
			last[r.Job] = true
			failed := 0.
			if r.Outcome == workshop.Failed {
				failed = 1
			}
			to <- prometheus.MustNewConstMetric(jobFailed, prometheus.GaugeValue, failed, r.Job)
			to <- prometheus.MustNewConstMetric(jobBegan, prometheus.GaugeValue, float64(r.StartedAt.Unix()), r.Job)
		}
		if r.Outcome == workshop.Done && !done[r.Job] {
			done[r.Job] = true
			to <- prometheus.MustNewConstMetric(jobDone, prometheus.GaugeValue, float64(r.EndedAt.Unix()), r.Job)
		}
	}
}
