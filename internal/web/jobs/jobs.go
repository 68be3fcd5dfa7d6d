package jobs

import (
	"fmt"
	"slices"
	"time"

	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// runsShown is how many runs of each job the page lists.
const runsShown = 14

// jobsPage answers whether last night's work was done.
type jobsPage struct {
	page.Frame
	Next   string // run of all jobs; empty where this program runs none
	Jobs   []jobView
	Before []runView // earlier runs, the newest first
}

// jobView is a job with its last run and what happens next.
type jobView struct {
	runView
	Then string
}

type runView struct {
	Job     string
	Day     string
	Began   string
	Took    string
	Outcome string
	Attempt int
	Found   string
}

func (p place) jobs(r *page.Request) (page.Reply, error) {
	runs, err := p.shop.JobRuns(r.Ctx(), runsShown)
	if err != nil {
		return page.Reply{}, err
	}
	v := jobsPage{Frame: r.Frame("Jobs")}
	if p.next != nil {
		v.Next = p.next().In(r.Site.Zone()).Format("Monday 2 January, 15:04")
		v.Jobs = neverRun(p.names, runs, v.Next)
	}
	seen := map[string]bool{}
	for _, run := range runs {
		view := newRun(run, r.Site.Zone())
		if seen[run.Job] {
			v.Before = append(v.Before, view)
			continue
		}
		seen[run.Job] = true
		v.Jobs = append(v.Jobs, jobView{view, then(run, v.Next)})
	}
	return page.Show(jobsTemplate, v), nil
}

// neverRun gives the jobs of the timetable that have not run yet.
func neverRun(names []string, runs []workshop.JobRun, next string) (jobs []jobView) {
	for _, name := range names {
		if !slices.ContainsFunc(runs, func(r workshop.JobRun) bool { return r.Job == name }) {
			jobs = append(jobs, jobView{runView{Job: name, Outcome: "never run"}, next})
		}
	}
	return jobs
}

func newRun(r workshop.JobRun, zone *time.Location) runView {
	v := runView{Job: r.Job, Day: r.Day.String(), Began: r.StartedAt.In(zone).Format("2 January, 15:04"), Outcome: string(r.Outcome), Attempt: r.Attempt, Found: r.Found}
	if !r.EndedAt.IsZero() {
		v.Took = fmt.Sprintf("%.1f s", r.EndedAt.Sub(r.StartedAt).Seconds())
	}
	return v
}

// then says when a job runs again.
func then(r workshop.JobRun, next string) string {
	switch {
	case next == "":
		return "no timetable runs in this program"
	case r.Outcome == workshop.Running:
		return "it runs now"
	case r.Outcome == workshop.Failed && r.Attempt < workshop.MostAttempts:
		return fmt.Sprintf("tried again within minutes, %d of %d times done", r.Attempt, workshop.MostAttempts)
	}
	return next
}
