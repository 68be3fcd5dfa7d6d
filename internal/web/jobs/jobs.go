package jobs

import (
	"fmt"
	"slices"

	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// runsShown is how many runs of each job the page lists.
const runsShown = 14

// neverRan stands as the outcome of a job that has not run yet.
const neverRan = "never run"

// jobsPage answers whether last night's work was done.
type jobsPage struct {
	page.Frame
	Head   page.Head
	Acts   []page.Action
	None   page.Empty
	Last   page.Table // of each job, with what happens next
	Before page.Table // earlier runs, the newest first
}

// run is a run of a job with when it runs next.
type run struct {
	workshop.JobRun
	then string
}

func (p place) jobs(r *page.Request) (page.Reply, error) {
	runs, err := p.shop.JobRuns(r.Ctx(), runsShown)
	if err != nil {
		return page.Reply{}, err
	}
	v := jobsPage{Frame: r.Frame("Jobs")}
	if r.Offers(page.Buying) {
		v.Acts = []page.Action{page.Link("To what the check found", page.Buying.Path)}
	}
	next := ""
	var last, before []run
	if p.next != nil {
		next = p.next().In(r.Site.Zone()).Format("Monday 2 January, 15:04")
		last = neverRun(p.names, runs, next)
	}
	seen := map[string]bool{}
	for _, j := range runs {
		if seen[j.Job] {
			before = append(before, run{JobRun: j})
			continue
		}
		seen[j.Job] = true
		last = append(last, run{j, then(j, next)})
	}
	v.Head = page.Head{Place: "Jobs", Answer: lastNight(last)}
	v.None = page.Empty{Text: "The service runs the nightly check and what else the configuration asks for.", Command: "windingroom night"}
	if next != "" {
		v.None.Text += " Next on " + next + "."
	}
	v.Last = page.Plain("last", "Last run of each", columns(r, true), last)
	v.Before = page.Plain("before", "Before", columns(r, false), before)
	return page.Show(jobsTemplate, v), nil
}

// lastNight says how the last runs went.
func lastNight(last []run) string {
	done, failed := 0, ""
	for _, j := range last {
		switch {
		case j.Outcome == workshop.Failed && failed == "":
			failed = j.Job
		case j.Outcome == workshop.Done:
			done++
		}
	}
	switch {
	case failed != "":
		return "Look at this: " + failed + " failed"
	case done == 0:
		return "No job has run yet"
	case done < len(last):
		return fmt.Sprintf("%d of %s done", done, page.Plural(len(last), "job", "jobs"))
	}
	return "The night's work is done"
}

// neverRun gives the jobs of the timetable that have not run yet.
func neverRun(names []string, runs []workshop.JobRun, next string) (jobs []run) {
	for _, name := range names {
		if !slices.ContainsFunc(runs, func(r workshop.JobRun) bool { return r.Job == name }) {
			jobs = append(jobs, run{workshop.JobRun{Job: name, Outcome: neverRan}, next})
		}
	}
	return jobs
}

func columns(r *page.Request, last bool) []page.Column[run] {
	u := r.Units()
	all := []page.Column[run]{
		{Head: "Job", Cell: func(j run) page.Cell { return page.Text(j.Job) }},
		{Head: "Outcome", Cell: func(j run) page.Cell {
			c := page.Cell{Tags: []page.Tag{{Text: string(j.Outcome), Tone: tones[j.Outcome]}}}
			if j.Attempt > 1 {
				c.Note = fmt.Sprintf("attempt %d", j.Attempt)
			}
			return c
		}},
		{Head: "For", Cell: func(j run) page.Cell { return page.Text(u.Date(j.Day)) }},
		{Head: "Began", Cell: func(j run) page.Cell {
			c := page.Text(u.Moment(j.StartedAt))
			if !j.EndedAt.IsZero() {
				c.Note = fmt.Sprintf("took %.1f s", j.EndedAt.Sub(j.StartedAt).Seconds())
			}
			return c
		}},
		{Head: "Found", Cell: func(j run) page.Cell { return page.Text(j.Found) }},
	}
	if last {
		all = append(all, page.Column[run]{Head: "Next", Cell: func(j run) page.Cell { return page.Text(j.then) }})
	}
	return all
}

var tones = map[workshop.Outcome]page.Tone{workshop.Done: page.Good, workshop.Failed: page.Wrong, workshop.Running: page.Wait}

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
