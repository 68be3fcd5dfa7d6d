package buying_test

import (
	"net/url"
	"testing"

	"windingroom/internal/testkit"
	"windingroom/internal/testkit/visit"
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
	v := visit.Open(t, shop).Visit(t)
	v.SignIn(workshop.Bookkeeper)
	v.Get("/buying").Wants(t, 200, []string{"No nightly check has run yet", "windingroom night", "None is proposed or on its way", "Check now"}, []string{"Order today"})
	v.Post("/buying/night", url.Values{})
	v.Get("/buying").Wants(t, 200, []string{"Checked: 5 late", "Order today"}, []string{"No nightly check has run yet", "Propose these purchases"})
}

func TestProposeFromTheList(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	if _, err := shop.RunNight(testkit.As(t.Context(), workshop.Owner), testkit.Day(t)); err != nil {
		t.Fatal(err)
	}
	v := visit.Open(t, shop).Visit(t)
	v.SignIn(workshop.Owner)
	v.Get("/buying").Wants(t, 200, []string{"Propose these purchases", "None is proposed"}, []string{"P260302-1"})
	for range 2 { // a second time they are the same
		v.Post("/buying/purchases", url.Values{})
		v.Get("/buying").Wants(t, 200, []string{"Proposed: P260302-1, P260302-2, P260302-3, P260302-4. Nothing is sent yet", "not sent"}, []string{"P260302-5"})
	}
	clerk := visit.Open(t, shop).Visit(t)
	clerk.SignIn(workshop.Bookkeeper)
	clerk.Get("/buying").Wants(t, 200, []string{"P260302-1"}, []string{"Propose these purchases"})
	clerk.Post("/buying/purchases", url.Values{})
	clerk.Get("/buying").Wants(t, 200, []string{"notice wrong", "lead or owner"}, nil)
}

func TestBuyingIsTheNightsList(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	night := runNight(t, shop)
	first := night.Alerts()[0]
	v := visit.Open(t, shop).Visit(t)
	v.SignIn(workshop.Lead)
	v.Get("/buying").Wants(t, 200, []string{
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
		{"seen", url.Values{"wire": {wire}, "reason": {"<i>called</i>"}}, []string{"was seen", `id="answered"`, "test lead", "&lt;i&gt;called", "Comes back when it rises"}, []string{"<i>"}},
		{"rests", url.Values{"wire": {wire}, "reason": {"comes by van"}, "until": {"2026-03-09"}}, []string{"rests until 2026-03-09", "Comes back on 2026-03-09"}, []string{"called"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if p := v.Post("/buying/answers", tt.form); p.Status != 303 || p.To() != "/buying" {
				t.Fatalf("answered %d to %q", p.Status, p.To())
			}
			v.Get("/buying").Wants(t, 200, tt.has, tt.not)
		})
	}
}

func TestAWinderSeesNoPrices(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	runNight(t, shop)
	v := visit.Open(t, shop).Visit(t)
	v.SignIn(workshop.Winder)
	v.Get("/buying").Wants(t, 403, []string{"Not allowed", "Seeing what to order and its prices needs the role lead, bookkeeper or owner"}, []string{"EUR", "ashdell"})
	for _, path := range []string{"/buying/night", "/buying/purchases"} {
		v.Post(path, url.Values{})
		v.Get("/buying").Wants(t, 403, []string{"Not allowed"}, []string{"EUR"})
	}
}

func TestALeadAnswersAlerts(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	wire := string(runNight(t, shop).Alerts()[0].Wire)
	for role, may := range map[workshop.Role]bool{workshop.Owner: true, workshop.Lead: true, workshop.Bookkeeper: false} {
		v := visit.Open(t, shop).Visit(t)
		v.SignIn(role)
		has, not := []string{"A lead or an owner answers alerts"}, []string{`action="/buying/answers"`}
		if may {
			has, not = not, has
		}
		v.Get("/buying").Wants(t, 200, has, not)
		if !may {
			v.Post("/buying/answers", url.Values{"wire": {wire}, "reason": {"x"}})
			v.Get("/buying").Wants(t, 200, []string{"notice wrong", "lead or owner"}, []string{`id="answered"`})
		}
	}
}

func TestTheBarOffersBuyingToWhoMayBuy(t *testing.T) {
	site := visit.Open(t, testkit.Shop(t))
	for role, may := range map[workshop.Role]bool{workshop.Owner: true, workshop.Lead: true, workshop.Bookkeeper: true, workshop.Winder: false} {
		link := []string{`href="/buying"`}
		has, not := link, []string(nil)
		if !may {
			has, not = nil, link
		}
		site.As(t, role).Get("/you").Wants(t, 200, has, not)
	}
}
