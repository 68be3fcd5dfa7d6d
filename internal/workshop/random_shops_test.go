package workshop_test

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/planning"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// randomLead is a random shop with its lead.
func randomLead(t testing.TB, r *rand.Rand) *lead {
	t.Helper()
	day, err := calendar.ParseDate("2026-05-11")
	if err != nil {
		t.Fatal(err)
	}
	l := &lead{Shop: testkit.Shop(t), t: t, ctx: testkit.As(t.Context(), workshop.Lead), day: day, now: day.Time().Add(6 * time.Hour)}
	l.Now = func() time.Time { l.now = l.now.Add(time.Second); return l.now }
	if _, err := l.Import(testkit.As(t.Context(), workshop.Owner), testkit.RandomShop(r), false); err != nil {
		t.Fatal(err)
	}
	return l
}

// given is what the codes of a day have stood for since its first proposal.
type given map[batch.Code]strung

func (h given) note(t *testing.T, day workshop.DayPlan) {
	t.Helper()
	for code, is := range namesOf(day) {
		if was, known := h[code]; known && was != is {
			t.Errorf("%s named %v and names %v", code, was, is)
		}
		h[code] = is
	}
}

// Whatever is asked of whatever shop, and whatever is released, wound or taken back in between: a plan that is planned again with
// nothing asked stays, asked twice it stays, and no code of a day ever stands for other strings.
func TestPlanningAgainChangesNothingInRandomShops(t *testing.T) {
	shops, end := 40, time.Now().Add(2*time.Minute)
	if testing.Short() {
		shops = 4
	}
	asked, stood := 0, 0
	for seed := range uint64(shops) {
		if time.Now().After(end) {
			t.Logf("time is up after %d shops", seed)
			break
		}
		r := rand.New(rand.NewPCG(seed, 77))
		l := randomLead(t, r)
		known := given{}
		day := l.propose()
		known.note(t, day)
		for range 6 {
			var c workshop.DayChanges
			what := "nothing"
			switch r.IntN(4) {
			case 0:
				if day, what = l.happens(r, day); what == "" {
					continue
				}
				day = l.propose()
			default:
				c = anyChange(r, day)
				next, err := l.ReplanDay(l.ctx, l.day, c)
				if err != nil {
					continue // the batch is finished, or its machine is down
				}
				day, what = next, c.String()
				asked++
			}
			l.sound()
			known.note(t, day)
			if again := l.propose(); !reflect.DeepEqual(again.Plan, day.Plan) {
				t.Errorf("shop %d, %s: planned again it is another plan: %v", seed, what, planning.Differences(day.Plan, again.Plan))
			}
			if again := l.change(c); !reflect.DeepEqual(again.Plan, day.Plan) || len(again.Differences) > 0 && what != "nothing" {
				t.Errorf("shop %d, %s: asked twice it is another plan: %v", seed, what, planning.Differences(day.Plan, again.Plan))
			}
			stood += len(day.Standing())
		}
	}
	t.Logf("%d changes asked, %d batches standing", asked, stood)
	if asked < shops || stood == 0 {
		t.Errorf("%d changes asked, %d batches standing: the shops say little", asked, stood)
	}
}

// happens releases the day, takes a batch back or has one wound, and says which; nothing where that cannot be.
func (l *lead) happens(r *rand.Rand, day workshop.DayPlan) (workshop.DayPlan, string) {
	l.t.Helper()
	standing := slices.DeleteFunc(day.Standing(), func(b batch.Batch) bool { return b.Status != batch.Released })
	if len(standing) == 0 {
		if len(of(day)) == 0 {
			return day, ""
		}
		return l.release(), "release"
	}
	one := standing[r.IntN(len(standing))]
	if r.IntN(2) == 0 {
		return l.must(l.TakeBack(l.ctx, one.Code, "for another day")), "take back " + string(one.Code)
	}
	form := workshop.ResultForm{Batch: one.Code, Good: one.ToWind - r.IntN(1+one.ToWind-one.Ordered), Minutes: one.Run + time.Duration(r.IntN(30))*time.Minute, Person: "Ada"}
	form.Scrapped = one.ToWind - form.Good
	if _, err := l.PostResult(l.ctx, form); err != nil {
		l.t.Fatal(err)
	}
	return day, "wound " + string(one.Code)
}
