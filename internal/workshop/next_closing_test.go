package workshop_test

import (
	"errors"
	"testing"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/costing"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// What stands against closing a month is all named at once, and once nothing does the month closes.
func TestNextClosing(t *testing.T) {
	l := newLead(t)
	ctx := testkit.As(t.Context(), workshop.Bookkeeper)
	look := func() workshop.Outlook {
		t.Helper()
		o, err := l.NextClosing(ctx)
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
	if _, err := l.NextClosing(l.ctx); !errors.Is(err, workshop.ErrForbidden) {
		t.Errorf("a lead looks: %v", err)
	}
	march := costing.PeriodOf(l.day)
	if o := look(); !o.Ready() || o.Month != costing.NewPeriod(2025, time.September) || len(o.Behind) == 0 || o.Behind[len(o.Behind)-1] != march-1 || o.Last != nil {
		t.Errorf("before anything was closed: %+v", o)
	}
	l.closeAll(march - 1)
	l.propose()
	day := l.release()
	if o := look(); o.Ready() || o.Over || o.Month != march || o.From != calendar.NewDate(2026, time.April, 1) || len(o.Batches) != len(of(day)) || o.Last == nil || o.Last.Month != march-1 {
		t.Errorf("in the month itself: %+v", o)
	}
	l.now = (march + 1).First().Time().Add(8 * time.Hour)
	if o := look(); o.Ready() || !o.Over || len(o.Batches) != len(of(day)) || len(o.Broken)+len(o.Off()) > 0 || len(o.Checks) < 18 {
		t.Errorf("when it is over: %+v", o)
	}
	l.windAll(day)
	if o := look(); !o.Ready() {
		t.Errorf("when all is wound: %+v", o)
	}
	if _, err := l.CloseMonth(ctx, march); err != nil {
		t.Fatal(err)
	}
	if o := look(); o.Month != march+1 || o.Over || o.Last.Month != march {
		t.Errorf("when it is closed: %+v", o)
	}
}

// An alloy's method of this month is the latest choice for it, or that for every alloy.
func TestFamilyMethods(t *testing.T) {
	l := newLead(t)
	ctx := testkit.As(t.Context(), workshop.Bookkeeper)
	now := costing.PeriodOf(l.day)
	for _, m := range []costing.Method{{Family: "", Formula: costing.MovingAverage, From: now}, {Family: "music-wire", Formula: costing.FIFO, From: now + 1}, {Family: "nickel", Formula: costing.Specific, From: now - 1}} {
		if _, err := l.SetCostMethod(ctx, m, "the auditor asks"); err != nil {
			t.Fatal(err)
		}
	}
	list, err := l.FamilyMethods(l.ctx)
	if err != nil || len(list) < 3 {
		t.Fatalf("%v, %v", list, err)
	}
	for _, m := range list {
		want := costing.MovingAverage
		if m.Family == "nickel" {
			want = costing.Specific
		}
		if m.Formula != want || m.Wires == 0 {
			t.Errorf("%+v, want %s", m, want)
		}
	}
}
