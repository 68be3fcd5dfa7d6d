package workshop_test

import (
	"errors"
	"math"
	"testing"

	"windingroom/internal/batch"
	"windingroom/internal/measure"
	"windingroom/internal/workshop"
)

func TestPlansCountOnTheLearnedYield(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 0, 4, w.day+1)
	b := w.release(w.day)["W-42.5"]
	owner := w.as(workshop.Owner)
	if l, err := w.Learned(owner, "w-42.5"); err != nil || l.Yield.Mean != 0.85 || l.Stated != 0.85 {
		t.Errorf("without results: %+v, %v", l, err)
	}
	w.post(workshop.ResultForm{Batch: b.Code, Good: 0, Scrapped: 4})
	l, err := w.Learned(owner, "W-42.5")
	if want := 17.0 / 24; err != nil || math.Abs(l.Yield.Mean-want) > 1e-12 || l.Own.Scrapped != 4 || l.Yield.SD <= 0 {
		t.Errorf("after four scrapped: %+v, %v; want %v", l, err, want)
	}
	again := w.release(w.day + 1)["W-42.5"]
	if again.Ordered != 4 || again.ToWind <= b.ToWind {
		t.Errorf("the next plan winds %d for %d; the first wound %d", again.ToWind, again.Ordered, b.ToWind)
	}
	story := w.story("O-1")
	if len(story.Learned) != 1 || story.Learned[0].Recipe != "W-42.5" {
		t.Errorf("the order tells of %+v", story.Learned)
	}
	if _, err := w.Learned(owner, "none"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("of no recipe: %v", err)
	}
}

// A spool that was weighed after it was wound from teaches what the wraps of its recipe really take; the core is cut to length.
func TestPlansCountOnTheLearnedWireFactor(t *testing.T) {
	w := newWinders(t)
	owner := w.as(workshop.Owner)
	w.add("O-1", 0, 5, w.day+1)
	first := w.release(w.day)["W-42.5"]
	r := w.post(workshop.ResultForm{Batch: first.Code, Good: 3, Scrapped: 3}).Result
	if l, err := w.Learned(owner, "W-42.5"); err != nil || l.Factor.Value != 1 || l.Factor.Weighings != 0 {
		t.Errorf("before anything was weighed: %+v, %v", l.Factor, err)
	}
	var wrap batch.Taken
	for _, d := range r.Draws {
		if d.Wire == "PB-11.5" {
			wrap = d
		}
	}
	b := w.spool(wrap.Spool)
	missing := wrap.Mass / 20 // 5 % more than computed, well outside the noise of scale and computation
	if _, err := w.Weigh(owner, workshop.Weigh{Spool: wrap.Spool, Gross: b.Mass + b.Tare - missing, Confirmed: true}); err != nil {
		t.Fatal(err)
	}
	l, err := w.Learned(owner, "W-42.5")
	if err != nil || l.Factor.Value < 1.045 || l.Factor.Value > 1.05 || l.Factor.Weighings != 1 || l.Factor.StdError <= 0 {
		t.Fatalf("with %s of %s missing: %+v, %v", missing, wrap.Mass, l.Factor, err)
	}
	second := w.release(w.day + 1)["W-42.5"]
	each := map[string]measure.MassEach{}
	for _, d := range first.Draws {
		each[string(d.Wire)] = d.Each
	}
	for _, d := range second.Draws {
		want := each[string(d.Wire)]
		if d.Wire == wrap.Wire {
			want = measure.MassEach(math.Round(float64(want) * l.Factor.Value))
		}
		if d.Each != want || d.Mass != want.Times(int64(d.Strings)) {
			t.Errorf("%s is planned at %d ng a string, want %d", d.Wire, d.Each, want)
		}
	}
	for _, d := range w.post(workshop.ResultForm{Batch: second.Code, Good: 2}).Result.Draws {
		if d.Wire == wrap.Wire && d.Each == each[string(d.Wire)] {
			t.Error("the result draws as computed, not as planned")
		}
	}
}
