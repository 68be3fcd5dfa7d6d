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
	v := visit.Open(t, shop).As(t, workshop.Bookkeeper)
	v.Get("/buying").Wants(t, 200, []string{"No nightly check has run yet", "windingroom night", "Check now"}, []string{"What to order"})
	v.Get("/buying/wires").Wants(t, 200, []string{"No nightly check has run yet"}, nil)
	v.Get("/buying/wires/mw-r-9.5").Wants(t, 200, []string{"no nightly check yet", "Used by week", "List price per kg"}, []string{"Projected balance"})
	v.Get("/buying/purchases").Wants(t, 200, []string{"0 purchases on their way", "No purchase yet"}, []string{"Make a purchase"})
	v.Post("/buying/night", url.Values{})
	v.Get("/buying").Wants(t, 200, []string{"Checked: 5 late", "What to order"}, []string{"No nightly check has run yet", "Propose these purchases"})
}

func TestProposeFromTheList(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	if _, err := shop.RunNight(testkit.As(t.Context(), workshop.Owner), testkit.Day(t)); err != nil {
		t.Fatal(err)
	}
	site := visit.Open(t, shop)
	v := site.As(t, workshop.Owner)
	v.Get("/buying").Wants(t, 200, []string{"Propose these purchases", "from 4 suppliers today; 5 are late"}, []string{"P260302-1"})
	if p := v.Post("/buying/purchases", url.Values{"supplier": {"corvane"}}); p.To() != "/buying/purchases/P260302-1" {
		t.Fatalf("one proposal leads to %q", p.To())
	}
	for range 2 { // a second time they are the same
		v.Post("/buying/purchases", url.Values{})
		v.Get("/buying").Wants(t, 200, []string{"Proposed: P260302-1, P260302-2, P260302-3, P260302-4. Nothing is sent yet", "Proposed, not sent yet"}, []string{"P260302-5", "Propose these purchases"})
	}
	v.Get("/buying/purchases?in=proposed&q=corvane").Wants(t, 200, []string{"4 to look at and send", "P260302-1", "1 of 4"}, []string{">P260302-2<"})
	v.Post("/buying/purchases/P260302-1/send", url.Values{"version": {"1"}})
	v.Get("/buying").Wants(t, 200, []string{"from 3 suppliers today", "See P260302-1"}, nil)
	clerk := site.As(t, workshop.Bookkeeper)
	clerk.Get("/buying").Wants(t, 200, []string{"P260302-1"}, []string{"Propose these purchases"})
	clerk.Post("/buying/purchases", url.Values{})
	clerk.Get("/buying").Wants(t, 200, []string{"notice wrong", "lead or owner"}, nil)
}

func TestBuyingIsTheNightsList(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	night := runNight(t, shop)
	first := night.Alerts()[0]
	v := visit.Open(t, shop).As(t, workshop.Lead)
	v.Get("/buying").Wants(t, 200, []string{"The night of Monday 2 March 2026", "by Ines", "ashdell", "order at once, ", string(first.Wire), "Runs out", "Order by", "Orders at risk",
		`name="reason"`, "P260302-1", "below its order point", "If not:"}, []string{"That is not today", "Seen, or at rest"})

	wire := string(first.Wire)
	for _, tt := range []struct {
		name     string
		form     url.Values
		status   int
		has, not []string
	}{
		{"no reason", url.Values{"wire": {wire}, "reason": {""}, "until": {"2026-03-09"}}, 422, []string{"Reason: is needed", `value="2026-03-09"`}, []string{`id="answered"`}},
		{"no date", url.Values{"wire": {wire}, "reason": {"by <van>"}, "until": {"soon"}}, 422, []string{"Comes back on: ", `value="by &lt;van&gt;"`}, []string{`id="answered"`}},
		{"a day that is past", url.Values{"wire": {wire}, "reason": {"x"}, "until": {"2026-03-02"}}, 422, []string{"is not after today"}, []string{`id="answered"`}},
		{"no wire", url.Values{"wire": {"<b>"}, "reason": {"x"}}, 422, []string{"notice wrong"}, []string{"<b>"}},
		{"seen", url.Values{"wire": {wire}, "reason": {"<i>called</i>"}}, 303, []string{"was seen", `id="answered"`, "test lead", "&lt;i&gt;called", "Comes back when it rises"}, []string{"<i>"}},
		{"rests", url.Values{"wire": {wire}, "reason": {"comes by van"}, "until": {"2026-03-09"}}, 303, []string{"rests until Mon 9 Mar 2026", "Comes back on Mon 9 Mar 2026"}, []string{"called"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := v.Post("/buying/answers", tt.form)
			if p.Status != tt.status {
				t.Fatalf("answered %d to %q", p.Status, p.To())
			}
			if p.Status == 303 {
				p = v.Get(p.To())
			}
			p.Wants(t, p.Status, tt.has, tt.not)
		})
	}
}

func TestAWinderSeesNoPrices(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	runNight(t, shop)
	v := visit.Open(t, shop).As(t, workshop.Winder)
	for _, path := range []string{"", "/wires", "/wires/MW-R-9.5", "/purchases", "/purchases/P260302-1", "/purchases/P260302-1/change", "/purchases/P260302-1/receive", "/purchases/P260302-1/order.xlsx", "/purchases/new", "/suppliers"} {
		v.Get("/buying"+path).Wants(t, 403, []string{"Not allowed", "needs the role lead, bookkeeper or owner"}, []string{"EUR", "ashdell"})
	}
	for _, path := range []string{"/night", "/purchases", "/purchases/new", "/wires/MW-R-9.5/terms", "/purchases/P260302-1/change", "/purchases/P260302-1/send", "/purchases/P260302-1/cancel", "/purchases/P260302-1/close", "/purchases/P260302-1/receive"} {
		if p := v.Post("/buying"+path, url.Values{"wire-0": {"MW-R-9.5"}, "packs-0": {"1"}, "price_per_kg-0": {""}, "spool-0": {"S1"}, "gross_g-0": {"1"}}); p.Status != 403 && p.Status != 303 {
			t.Errorf("%s answers %d", path, p.Status)
		}
	}
	story, err := shop.Purchase(testkit.As(t.Context(), workshop.Owner), "P260302-1")
	if err != nil || story.Version != 1 {
		t.Errorf("a winder changed it: %+v, %v", story.Purchase, err)
	}
}

func TestALeadAnswersAlerts(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	wire := string(runNight(t, shop).Alerts()[0].Wire)
	for role, may := range map[workshop.Role]bool{workshop.Owner: true, workshop.Lead: true, workshop.Bookkeeper: false} {
		v := visit.Open(t, shop).As(t, role)
		form := []string{`action="/buying/answers"`}
		if may {
			v.Get("/buying").Wants(t, 200, form, nil)
			continue
		}
		v.Get("/buying").Wants(t, 200, nil, form)
		v.Post("/buying/answers", url.Values{"wire": {wire}, "reason": {"x"}})
		v.Get("/buying").Wants(t, 200, []string{"notice wrong", "lead or owner"}, []string{`id="answered"`})
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
