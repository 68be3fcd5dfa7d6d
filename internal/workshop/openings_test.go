package workshop_test

import (
	"reflect"
	"testing"
	"time"

	"windingroom/internal/costing"
	"windingroom/internal/measure"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// afresh gives the same shop as it is when its program has just been started: nothing is remembered.
func (l *lead) afresh() *lead {
	now := l.Now
	return &lead{Shop: &workshop.Shop{Store: l.Store, Name: l.Name, Now: now, Zone: l.Zone, Opens: l.Opens}, t: l.t, ctx: l.ctx, day: l.day}
}

// same says whether books that go on from what is remembered are those that read everything.
func (l *lead) same(what string, month costing.Period) {
	l.t.Helper()
	got, want := l.books(month), l.afresh().books(month)
	got.Movements, want.Movements = nil, nil
	if !reflect.DeepEqual(got, want) {
		l.t.Errorf("%s: the books of %s differ from those that read the whole ledger", what, month)
	}
}

// Books that go on from how wire stood when their month began are those that read the whole ledger, whatever is posted meanwhile: in the
// month, before it, or taking back something of before it.
func TestBooksGoOnFromAnOpening(t *testing.T) {
	l := newLead(t)
	l.propose()
	day := l.release()
	l.windAll(day)
	march := costing.PeriodOf(l.day)
	l.now = (march + 1).First().Time().Add(8 * time.Hour)
	if _, err := l.SetCostMethod(testkit.As(t.Context(), workshop.Bookkeeper), costing.Method{Formula: costing.FIFO, From: march + 1}, "x"); err != nil {
		t.Fatal(err)
	}
	l.books(march + 1)
	l.same("as it was", march+1)
	b := of(day)[0]
	spool := b.Draws[0].Spool
	weigh := func(less int, at time.Time) {
		t.Helper()
		s := l.on(spool)
		if _, err := l.Weigh(l.ctx, workshop.Weigh{Spool: spool, Gross: s.Tare + s.Mass - measure.Mass(less), At: at, Confirmed: true}); err != nil {
			t.Fatal(err)
		}
	}
	weigh(40_000, time.Time{})
	l.same("weighed in the month", march+1)
	weigh(20_000, l.day.Time().Add(30*time.Hour))
	l.same("weighed before the month", march+1)
	for _, b := range of(day)[:2] { // the second finds the first among what is known to be taken back
		if _, err := l.UndoResult(l.ctx, b.Code, 1, "counted wrong"); err != nil {
			t.Fatal(err)
		}
		l.same("a result before the month taken back", march+1)
	}
}
