package workshop_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"windingroom/internal/intake"
	"windingroom/internal/measure"
	"windingroom/internal/workshop"
)

const calibratedScale = 25*measure.Inch + measure.Inch/2

// weighFinished weighs as many finished strings as computed, the wraps so many times that.
func (w *winders) weighFinished(strings int, factor float64) workshop.CalibrationForm {
	w.t.Helper()
	none := measure.Mass(0)
	form := workshop.CalibrationForm{Recipe: "W-42.5", Scale: calibratedScale, Strings: strings, Ends: &none, Resolution: measure.Milligram}
	weighs := w.computed(form)
	form.Mass = measure.Mass(math.Round(weighs.core + weighs.wraps*factor))
	form.Cores = measure.Mass(math.Round(weighs.core))
	return form
}

// Strings weighed teach the recipe's wire factor; plans count on it, and on the computed again once it is taken back.
func TestFinishedStringsCalibrateARecipe(t *testing.T) {
	w := newWinders(t)
	winder, lead := w.as(workshop.Winder), w.as(workshop.Lead)
	form := w.weighFinished(20, 1.03)
	form.Key = "k-1"
	got, err := w.Calibrate(winder, form)
	if err != nil || got.Factor.Value < 1.0295 || got.Factor.Value > 1.0305 || got.Factor.Weighings != 1 {
		t.Fatalf("20 strings with 3 %% more wrap: %+v, %v", got.Factor, err)
	}
	if got, err = w.Calibrate(winder, form); err != nil || len(got.Calibrations) != 1 {
		t.Errorf("the same again: %d calibrations, %v", len(got.Calibrations), err)
	}
	for i, u := range got.Used {
		want := got.Computed[i].Each
		if i > 0 {
			want = measure.MassEach(math.Round(float64(want) * got.Factor.Value))
		}
		if u.Each != want {
			t.Errorf("%s takes %d, want %d", u.Wire, u.Each, want)
		}
	}
	w.add("O-1", 0, 4, w.day+1)
	planned := w.release(w.day)["W-42.5"]
	there, err := w.Calibrated(winder, "W-42.5", planned.Scale)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range planned.Draws {
		for _, u := range there.Used {
			if u.Wire == d.Wire && u.Each != d.Each {
				t.Errorf("the plan counts %d of %s a string, want %d", d.Each, d.Wire, u.Each)
			}
		}
	}
	if _, err := w.TakeBackCalibration(winder, "W-42.5", 1, "wrong scale"); err == nil {
		t.Error("a winder took it back")
	}
	for range 2 {
		back, err := w.TakeBackCalibration(lead, "w-42.5", 1, "wrong scale")
		if err != nil || back.Factor.Value != 1 || back.Factor.Weighings != 0 || len(back.Calibrations) != 2 {
			t.Errorf("taken back: %+v, %d calibrations, %v", back.Factor, len(back.Calibrations), err)
		}
	}
	if _, err := w.TakeBackCalibration(lead, "W-42.5", 2, "again"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("what takes back was taken back: %v", err)
	}
	w.sound()
}

func TestGaugesAreMeasured(t *testing.T) {
	w := newWinders(t)
	before, err := w.Calibrated(w.as(workshop.Winder), "W-42.5", calibratedScale)
	if err != nil || before.Gauges != 0 {
		t.Fatal(before.Gauges, err)
	}
	g := measure.Size(math.Round(before.Gauge))
	got, err := w.Calibrate(w.as(workshop.Winder), workshop.CalibrationForm{Recipe: "W-42.5", Gauges: []measure.Size{g - 10_000, g - 8_000, g - 6_000}})
	if err != nil || math.Abs(got.Measured-before.Gauge+8_000) > 1 || got.Gauges != 3 || got.Uncertainty < 2_000/math.Sqrt(3) {
		t.Errorf("measured %v ± %v of %d, computed %v, %v", got.Measured, got.Uncertainty, got.Gauges, got.Gauge, err)
	}
}

func TestTheAbsurdIsNotLearned(t *testing.T) {
	w := newWinders(t)
	tests := []struct {
		name, field string
		change      func(*workshop.CalibrationForm)
	}{
		{"nothing", "strings", func(f *workshop.CalibrationForm) { f.Strings, f.Mass = 0, 0 }},
		{"no strings", "strings", func(f *workshop.CalibrationForm) { f.Strings = 0 }},
		{"fewer than none", "strings", func(f *workshop.CalibrationForm) { f.Strings = -1 }},
		{"no mass", "mass_g", func(f *workshop.CalibrationForm) { f.Mass = 0 }},
		{"no scale length", "scale_in", func(f *workshop.CalibrationForm) { f.Scale = 0 }},
		{"ball ends forgotten", "ends_g", func(f *workshop.CalibrationForm) { f.Ends = nil }},
		{"other strings", "mass_g", func(f *workshop.CalibrationForm) { f.Mass *= 3 }},
		{"cores heavier than all", "mass_g", func(f *workshop.CalibrationForm) { f.Cores = f.Mass }},
		{"a tenth more", "mass_g", func(f *workshop.CalibrationForm) { *f = w.weighFinished(10, 1.1) }},
		{"another gauge", "gauges_thou[0]", func(f *workshop.CalibrationForm) { f.Gauges = []measure.Size{10 * measure.Thou} }},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			form := w.weighFinished(10, 1)
			tt.change(&form)
			_, err := w.Calibrate(w.as(workshop.Lead), form)
			var problems intake.Problems
			if !errors.As(err, &problems) || problems[0].Column != tt.field {
				t.Errorf("got %v, want a refusal of %s", err, tt.field)
			}
		})
	}
	form := w.weighFinished(10, 1.1)
	form.Confirmed = true
	if _, err := w.Calibrate(w.as(workshop.Lead), form); err == nil || !strings.Contains(err.Error(), "word") {
		t.Errorf("a lead gave the owner's word: %v", err)
	}
	got, err := w.Calibrate(w.as(workshop.Owner), form)
	if err != nil || got.Factor.Value < 1.09 || got.Questioned != "" {
		t.Errorf("with the owner's word: %+v %q, %v", got.Factor, got.Questioned, err)
	}
	if _, err := w.Calibrate(w.as(workshop.Owner), workshop.CalibrationForm{Recipe: "none"}); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("of no recipe: %v", err)
	}
}

// share is what finished strings weigh as computed, in milligrams.
type share struct{ core, wraps float64 }

// computed works it out by what the recipe takes: the core less 25 mm of chuck waste of its cut, the wrap less six waste turns.
func (w *winders) computed(form workshop.CalibrationForm) share {
	w.t.Helper()
	got, err := w.Calibrated(w.as(workshop.Winder), form.Recipe, form.Scale)
	if err != nil {
		w.t.Fatal(err)
	}
	long, err := w.Calibrated(w.as(workshop.Winder), form.Recipe, form.Scale+measure.Inch)
	if err != nil {
		w.t.Fatal(err)
	}
	perInch := func(i int) float64 { return float64(long.Computed[i].Each - got.Computed[i].Each) } // ng
	const mm, ng = 25.4, 1e6
	scale, n := float64(form.Scale)/float64(measure.Millimetre), float64(form.Strings)
	ball := 45.
	return share{core: n * perInch(0) / mm * (scale + ball + 20 + 140) / ng, wraps: n * perInch(1) / mm * (scale + 20 + 30) / ng}
}
