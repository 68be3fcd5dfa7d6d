package jobs_test

import (
	"errors"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
	"windingroom/internal/web"
	"windingroom/internal/workshop"
)

func TestJobsBeforeTheFirstNight(t *testing.T) {
	for _, role := range workshop.Roles() {
		visit.Open(t, testkit.Shop(t)).As(t, role).Get("/jobs").Wants(t, 200, []string{"No job has run yet"}, nil)
		timed := web.Options{NextNight: func() time.Time { return testkit.Morning(t) }, Jobs: []string{"backup", "nightly check"}}
		visit.Open(t, testkit.Shop(t), timed).As(t, role).Get("/jobs").Wants(t, 200, []string{"nightly check", "never run"}, nil)
	}
}

func TestJobsSayHowTheNightWent(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	ctx := workshop.WithPerson(t.Context(), workshop.Person{Name: "nightly jobs", Role: workshop.Lead})
	day := testkit.Day(t)
	for _, r := range []struct {
		job     string
		back    calendar.Date
		failure error
	}{{"backup", 1, nil}, {"backup", 0, errors.New("the disk is <full>")}, {"nightly check", 0, nil}} {
		run, claimed, err := shop.BeginRun(ctx, r.job, day-r.back)
		if err != nil || !claimed {
			t.Fatal(claimed, err)
		}
		if err := shop.EndRun(ctx, run, "found 3 things", r.failure); err != nil {
			t.Fatal(err)
		}
	}
	next := func() time.Time { return day.Time().Add(25*time.Hour + 30*time.Minute) }
	v := visit.Open(t, shop, web.Options{NextNight: next, Jobs: []string{"backup", "nightly check", "tidy"}}).As(t, workshop.Lead)
	v.Get("/jobs").Wants(t, 200, []string{"nightly check", "found 3 things", "failed", "the disk is &lt;full&gt;", "tried again within minutes, 1 of 3 times done",
		"Tuesday 3 March, 01:30", `id="before"`, "Sun 1 Mar 2026", "Look at this: backup failed", `<span class="tag ">never run`}, []string{"<full>"})
}

func TestJobsInBrowser(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	ctx := workshop.WithPerson(t.Context(), workshop.Person{Name: "nightly jobs", Role: workshop.Lead})
	for back := range calendar.Date(3) {
		for _, job := range []string{"backup", "nightly check"} {
			run, _, err := shop.BeginRun(ctx, job, testkit.Day(t)-2+back)
			if err != nil {
				t.Fatal(err)
			}
			var failure error
			if back == 2 && job == "backup" {
				failure = errors.New("the disk is full; nothing was written")
			}
			if err := shop.EndRun(ctx, run, "9 wires to order, 14 to watch, 3 orders at risk", failure); err != nil {
				t.Fatal(err)
			}
		}
	}
	next := func() time.Time { return testkit.Morning(t).Add(19 * time.Hour) }
	b := visit.Open(t, shop, web.Options{NextNight: next, Jobs: []string{"backup", "nightly check", "tidy"}}).BrowseAs(t, workshop.Lead)
	b.Go("/jobs")
	b.See("#before")
	b.Check("jobs")
}
