package web_test

import (
	"errors"
	"io"
	"net/url"
	"testing"

	"windingroom/internal/calendar"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// runNight does the nightly check of the shop's day and makes proposals of it.
func runNight(t *testing.T, shop *workshop.Shop) workshop.NightReport {
	t.Helper()
	ctx := workshop.WithPerson(t.Context(), workshop.Person{Name: "Ines", Role: workshop.Lead})
	night, err := shop.RunNight(ctx, testkit.Day(t))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := shop.ProposePurchases(ctx, testkit.Day(t), ""); err != nil {
		t.Fatal(err)
	}
	return night
}

func TestBuyingBeforeTheFirstNight(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	v := visit(t, open(t, shop, io.Discard))
	v.signIn(shop, workshop.Bookkeeper)
	v.get("/buying").wants(t, 200, []string{"No nightly check has run yet", "windingroom night", "None is proposed or on its way", "Check now"}, []string{"Order today"})
	v.post("/buying/night", url.Values{})
	v.get("/buying").wants(t, 200, []string{"Checked: 5 late", "Order today"}, []string{"No nightly check has run yet", "Propose these purchases"})
}

func TestProposeFromTheList(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	if _, err := shop.RunNight(testkit.As(t.Context(), workshop.Owner), testkit.Day(t)); err != nil {
		t.Fatal(err)
	}
	v := visit(t, open(t, shop, io.Discard))
	v.signIn(shop, workshop.Owner)
	v.get("/buying").wants(t, 200, []string{"Propose these purchases", "None is proposed"}, []string{"P260302-1"})
	for range 2 { // a second time they are the same
		v.post("/buying/purchases", url.Values{})
		v.get("/buying").wants(t, 200, []string{"Proposed: P260302-1, P260302-2, P260302-3, P260302-4. Nothing is sent yet", "not sent"}, []string{"P260302-5"})
	}
	clerk := visit(t, open(t, shop, io.Discard))
	clerk.signIn(shop, workshop.Bookkeeper)
	clerk.get("/buying").wants(t, 200, []string{"P260302-1"}, []string{"Propose these purchases"})
	clerk.post("/buying/purchases", url.Values{})
	clerk.get("/buying").wants(t, 200, []string{"notice wrong", "lead or owner"}, nil)
}

func TestBuyingIsTheNightsList(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	night := runNight(t, shop)
	first := night.Alerts()[0]
	v := visit(t, open(t, shop, io.Discard))
	v.signIn(shop, workshop.Lead)
	v.get("/buying").wants(t, 200, []string{
		"Night of Monday 2 March 2026", "by Ines", "Order today", "From ashdell, <span class=\"bad\">order at once, ", string(first.Wire), "Runs out", "Order by", "Orders at risk",
		`name="reason" required`, "P260302-1", "proposed", "not sent", "below its order point",
	}, []string{"That is not today", "Answered"})

	wire := string(first.Wire)
	for _, tt := range []struct {
		name     string
		form     url.Values
		has, not []string
	}{
		{"no reason", url.Values{"wire": {wire}}, []string{"notice wrong", "reason"}, []string{`id="answered"`}},
		{"no date", url.Values{"wire": {wire}, "reason": {"x"}, "until": {"soon"}}, []string{"notice wrong", "until"}, []string{`id="answered"`}},
		{"a day that is past", url.Values{"wire": {wire}, "reason": {"x"}, "until": {"2026-03-02"}}, []string{"is not after today"}, []string{`id="answered"`}},
		{"no wire", url.Values{"wire": {"<b>"}, "reason": {"x"}}, []string{"notice wrong"}, []string{"<b>"}},
		{"seen", url.Values{"wire": {wire}, "reason": {"<i>called</i>"}}, []string{"was seen", `id="answered"`, "token of lead", "&lt;i&gt;called", "Comes back when it rises"}, []string{"<i>"}},
		{"rests", url.Values{"wire": {wire}, "reason": {"comes by van"}, "until": {"2026-03-09"}}, []string{"rests until 2026-03-09", "Comes back on 2026-03-09"}, []string{"called"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if p := v.post("/buying/answers", tt.form); p.status != 303 || p.header.Get("Location") != "/buying" {
				t.Fatalf("answered %d to %q", p.status, p.header.Get("Location"))
			}
			v.get("/buying").wants(t, 200, tt.has, tt.not)
		})
	}
}

func TestAWinderSeesNoPrices(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	runNight(t, shop)
	v := visit(t, open(t, shop, io.Discard))
	v.signIn(shop, workshop.Winder)
	v.get("/buying").wants(t, 403, []string{"Not allowed", "Seeing what to order and its prices needs the role lead, bookkeeper or owner"}, []string{"EUR", "ashdell"})
	for _, path := range []string{"/buying/night", "/buying/purchases"} {
		v.post(path, url.Values{})
		v.get("/buying").wants(t, 403, []string{"Not allowed"}, []string{"EUR"})
	}
	v.get("/jobs").wants(t, 200, []string{"nightly check", "never run"}, nil)
}

func TestALeadAnswersAlerts(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	wire := string(runNight(t, shop).Alerts()[0].Wire)
	for role, may := range map[workshop.Role]bool{workshop.Owner: true, workshop.Lead: true, workshop.Bookkeeper: false} {
		v := visit(t, open(t, shop, io.Discard))
		v.signIn(shop, role)
		has, not := []string{"A lead or an owner answers alerts"}, []string{`action="/buying/answers"`}
		if may {
			has, not = not, has
		}
		v.get("/buying").wants(t, 200, has, not)
		v.get("/jobs").wants(t, 200, []string{"never run"}, nil)
		if !may {
			v.post("/buying/answers", url.Values{"wire": {wire}, "reason": {"x"}})
			v.get("/buying").wants(t, 200, []string{"notice wrong", "lead or owner"}, []string{`id="answered"`})
		}
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
	v := visit(t, open(t, shop, io.Discard))
	v.signIn(shop, workshop.Lead)
	v.get("/jobs").wants(t, 200, []string{"nightly check", "found 3 things", "failed", "the disk is &lt;full&gt;", "tried again within minutes, 1 of 3 times done",
		"Tuesday 3 March, 01:30", `id="before"`, "2026-03-01", "tidy</th><td>never run"}, []string{"<full>"})
}
