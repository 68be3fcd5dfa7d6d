package web

import (
	"fmt"
	"time"

	"github.com/gin-gonic/gin"

	"windingroom/internal/workshop"
)

// runsShown is how many runs of each job the page lists.
const runsShown = 14

// jobsPage answers whether last night's work was done.
type jobsPage struct {
	frame
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

func (s *server) jobs(c *gin.Context) (reply, error) {
	runs, err := s.shop.JobRuns(c.Request.Context(), runsShown)
	if err != nil {
		return reply{}, err
	}
	page := jobsPage{frame: s.frame(c, "Jobs")}
	if s.next != nil {
		page.Next = s.next().In(s.shop.Zone).Format("Monday 2 January, 15:04")
	}
	seen := map[string]bool{}
	for _, r := range runs {
		v := newRun(r, s.shop.Zone)
		if seen[r.Job] {
			page.Before = append(page.Before, v)
			continue
		}
		seen[r.Job] = true
		page.Jobs = append(page.Jobs, jobView{v, then(r, page.Next)})
	}
	return show(jobsTemplate, page), nil
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
