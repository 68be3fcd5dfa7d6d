package workshop_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/replenishment"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// The night's sums are those of the shop: what is on hand is what stock lists without remnants, what is booked is what open orders need.
func TestANightAddsUpTheShop(t *testing.T) {
	shop, day := testkit.ScenarioShop(t), testkit.Day(t)
	ctx := testkit.As(t.Context(), workshop.Lead)
	before, err := shop.RunNight(ctx, day)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := shop.ProposeDay(ctx, day); err != nil {
		t.Fatal(err)
	}
	if _, err := shop.ReleaseDay(ctx, day); err != nil {
		t.Fatal(err)
	}
	after, err := shop.RunNight(ctx, day+1)
	if err != nil {
		t.Fatal(err)
	}
	list, err := shop.Stock(ctx, 0)
	if err != nil {
		t.Fatal(err)
	}
	onHand, allocated := map[material.WireCode]measure.Mass{}, map[material.WireCode]measure.Mass{}
	for _, b := range list.Spools {
		if !b.Remnant() {
			onHand[b.Wire] += b.Mass
			allocated[b.Wire] += b.Allocated
		}
	}
	moved := false
	for i, w := range after.Wires {
		if w.OnHand != onHand[w.Wire] || w.Allocated != allocated[w.Wire] || w.OnOrder != 0 {
			t.Errorf("%s: %s on hand, %s allocated, want %s and %s", w.Wire, w.OnHand, w.Allocated, onHand[w.Wire], allocated[w.Wire])
		}
		// What the release took off the booked demand is allocated, with the batches' overage; nothing is counted twice or lost.
		was := before.Wires[i]
		if freed := was.Booked - w.Booked; w.Allocated == 0 != (freed == 0) || float64(w.Allocated) < .8*float64(freed) {
			t.Errorf("%s: %s booked before, %s after, %s allocated", w.Wire, was.Booked, w.Booked, w.Allocated)
		}
		moved = moved || w.Allocated > 0
		if len(w.Balance) == 0 || w.Why == "" {
			t.Errorf("%s has %d points and the sentence %q", w.Wire, len(w.Balance), w.Why)
		}
	}
	if !moved || len(after.Wires) != 42 {
		t.Errorf("%d wires, allocated %v", len(after.Wires), moved)
	}
	kept, err := shop.Reorder(ctx) // the clock stands on the day before: its night is the last
	if err != nil || kept.Date != day || len(kept.Wires) != 42 || len(kept.Purchases) != len(before.Purchases) {
		t.Errorf("the last night is %s with %d wires, %v", kept.Date, len(kept.Wires), err)
	}
	for i := range kept.Wires {
		if kept.Wires[i].Why != before.Wires[i].Why || !slices.Equal(kept.Wires[i].Balance, before.Wires[i].Balance) {
			t.Errorf("%s is kept otherwise than it was found", kept.Wires[i].Wire)
		}
	}
	next, err := shop.NightOf(ctx, day+1)
	if err != nil || next.Date != day+1 {
		t.Errorf("night of the next day: %s, %v", next.Date, err)
	}
	if _, err := shop.NightOf(ctx, day+2); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("a night that never was: %v", err)
	}
	if !slices.ContainsFunc(after.Wires, func(w replenishment.WireNight) bool { return w.Changed != "" }) {
		t.Error("nothing has changed since the night before")
	}
}

func TestWhoMayBuy(t *testing.T) {
	shop, day := testkit.ScenarioShop(t), testkit.Day(t)
	if _, err := shop.RunNight(testkit.As(t.Context(), workshop.Bookkeeper), day); err != nil {
		t.Fatal(err)
	}
	may := func(roles ...workshop.Role) []workshop.Role { return roles }
	for name, tt := range map[string]struct {
		roles []workshop.Role
		act   func(workshop.Role) error
	}{
		"night":   {may(workshop.Owner, workshop.Lead, workshop.Bookkeeper), func(r workshop.Role) error { _, err := shop.RunNight(testkit.As(t.Context(), r), day); return err }},
		"reorder": {may(workshop.Owner, workshop.Lead, workshop.Bookkeeper), func(r workshop.Role) error { _, err := shop.Reorder(testkit.As(t.Context(), r)); return err }},
		"jobs":    {workshop.Roles(), func(r workshop.Role) error { _, err := shop.JobRuns(testkit.As(t.Context(), r), 1); return err }},
		"list": {may(workshop.Owner, workshop.Lead, workshop.Bookkeeper), func(r workshop.Role) error {
			_, err := shop.Purchases(testkit.As(t.Context(), r), workshop.PurchaseFilter{})
			return err
		}},
		"read terms": {may(workshop.Owner, workshop.Lead, workshop.Bookkeeper), func(r workshop.Role) error {
			_, err := shop.Terms(testkit.As(t.Context(), r), "NI-R-9.5")
			return err
		}},
		"propose": {may(workshop.Owner, workshop.Lead), func(r workshop.Role) error {
			_, err := shop.ProposePurchases(testkit.As(t.Context(), r), 0, "")
			return err
		}},
		"add": {may(workshop.Owner, workshop.Lead), func(r workshop.Role) error {
			_, err := shop.AddPurchase(testkit.As(t.Context(), r), workshop.PurchaseForm{Supplier: "ashdell", Lines: []workshop.PurchaseFormLine{{Wire: "MW-R-8.0", Packs: 1}}})
			return err
		}},
		"answer": {may(workshop.Owner, workshop.Lead), func(r workshop.Role) error {
			_, err := shop.AnswerAlert(testkit.As(t.Context(), r), "NI-R-9.5", "ordered by telephone", 0)
			return err
		}},
		"terms": {may(workshop.Owner, workshop.Lead), func(r workshop.Role) error {
			_, err := shop.SetTerms(testkit.As(t.Context(), r), workshop.TermsForm{Wire: "NI-R-9.5"})
			return err
		}},
	} {
		for _, role := range workshop.Roles() {
			if err := tt.act(role); errors.Is(err, workshop.ErrForbidden) == slices.Contains(tt.roles, role) || err != nil && !errors.Is(err, workshop.ErrForbidden) {
				t.Errorf("%s as %s: %v", name, role, err)
			}
		}
	}
}

func TestAnAnswerHoldsUntilItsDayOrUntilTheAlertRises(t *testing.T) {
	answer := workshop.AlertAnswer{Level: replenishment.Order, Until: 100}
	tests := []struct {
		name   string
		answer workshop.AlertAnswer
		level  replenishment.Level
		today  calendar.Date
		want   bool
	}{
		{"the day before", answer, replenishment.Order, 99, true},
		{"on the day", answer, replenishment.Order, 100, false},
		{"less urgent", answer, replenishment.Watch, 99, true},
		{"more urgent", answer, replenishment.Late, 99, false},
		{"over", answer, replenishment.None, 99, false},
		{"seen, without a day", workshop.AlertAnswer{Level: replenishment.Order}, replenishment.Order, 9999, true},
		{"no answer", workshop.AlertAnswer{}, replenishment.Watch, 1, false},
	}
	for _, tt := range tests {
		if got := tt.answer.Holds(tt.level, tt.today); got != tt.want {
			t.Errorf("%s: %v", tt.name, got)
		}
	}
}

func TestAnsweringAlerts(t *testing.T) {
	shop, day := testkit.ScenarioShop(t), testkit.Day(t)
	ctx := testkit.As(t.Context(), workshop.Lead)
	if _, err := shop.AnswerAlert(ctx, "NI-R-9.5", "x", 0); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("before the first night: %v", err)
	}
	n, err := shop.RunNight(ctx, day)
	if err != nil {
		t.Fatal(err)
	}
	all := len(n.Alerts())
	if n, err = shop.AnswerAlert(ctx, "ni-r-9.5", "ordered by telephone", day+7); err != nil || len(n.Unanswered()) != all-1 || len(n.Alerts()) != all {
		t.Fatalf("%d of %d unanswered, %v", len(n.Unanswered()), all, err)
	}
	if strings.Contains(n.Digest(), "\n  NI-R-9.5 late") {
		t.Error("an alert that rests is in the digest")
	}
	if n, err = shop.RunNight(ctx, day+6); err != nil || n.Answers["NI-R-9.5"].Reason != "ordered by telephone" {
		t.Errorf("the next week: %+v, %v", n.Answers, err)
	}
	if n, err = shop.RunNight(ctx, day+7); err != nil || len(n.Answers) != 0 {
		t.Errorf("on its day: %+v, %v", n.Answers, err)
	}
	if n, err = shop.RunNight(ctx, day+6); err != nil || len(n.Answers) != 0 {
		t.Errorf("an answer that has lapsed comes back: %+v, %v", n.Answers, err)
	}
	for _, tt := range []struct {
		wire, reason string
		until        calendar.Date
		says         string
	}{
		{"NI-R-9.5", " ", 0, "reason"}, {"NI-R-9.5", "x", day, "until"}, {"none", "x", 0, "not found"}, {"MW-R-8.0", "x", 0, "has no alert"},
	} {
		if _, err := shop.AnswerAlert(ctx, material.WireCode(tt.wire), tt.reason, tt.until); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%v: %v", tt, err)
		}
	}
}
