package httpd_test

import (
	"errors"
	"strings"
	"testing"

	"windingroom/internal/calendar"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

func TestMetricsTellHowJobsWent(t *testing.T) {
	shop := testkit.Shop(t)
	e, _ := engine(t, shop)
	if body := ask(e, "GET", "/metrics", "", nil).Body.String(); strings.Contains(body, "windingroom_job") {
		t.Error("a job is shown before any ran")
	}
	ctx := testkit.As(t.Context(), workshop.Lead)
	for _, run := range []struct {
		job     string
		days    int
		failure error
	}{{"backup", 0, nil}, {"backup", 1, errors.New("no room")}, {"nightly check", 1, nil}} {
		began, claimed, err := shop.BeginRun(ctx, run.job, testkit.Day(t)+calendar.Date(run.days))
		if err != nil || !claimed {
			t.Fatal(claimed, err)
		}
		if err := shop.EndRun(ctx, began, "", run.failure); err != nil {
			t.Fatal(err)
		}
	}
	body := ask(e, "GET", "/metrics", "", nil).Body.String()
	for _, line := range []string{`windingroom_job_failed{job="backup"} 1`, `windingroom_job_failed{job="nightly check"} 0`,
		`windingroom_job_last_success_timestamp_seconds{job="backup"} 1.77243`, `windingroom_job_last_start_timestamp_seconds{job="nightly check"} 1.77243`} {
		if !strings.Contains(body, line) {
			t.Errorf("no line %s", line)
		}
	}
	if strings.Contains(body, "no room") {
		t.Error("the metrics, which anyone may read, say why a job failed")
	}
}
