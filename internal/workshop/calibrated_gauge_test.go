package workshop_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"windingroom/internal/batch"
	"windingroom/internal/estimate"
	"windingroom/internal/measure"
	"windingroom/internal/setwork"
	"windingroom/internal/workshop"
)

// measureGauges measures as many strings of a recipe, half of them a twentieth of a thou above the mean and half below.
func (w *winders) measureGauges(strings int, thou float64) workshop.CalibrationForm {
	form := workshop.CalibrationForm{Recipe: "W-42.5"}
	for i := range strings {
		off := measure.Thou / 20
		if i%2 == 0 {
			off = -off
		}
		form.Gauges = append(form.Gauges, measure.Size(math.Round(thou*float64(measure.Thou)))+off)
	}
	return form
}

// What strings measure is on the sheet that the bench checks them against, beside the computed gauge, until it is taken back.
func TestTheSheetHasTheShopsOwnGauge(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 0, 4, w.day+1)
	w.release(w.day)
	sheet := func() batch.Sheet {
		t.Helper()
		day, err := w.DaySheets(w.as(workshop.Winder), w.day)
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(day.Sheets, func(s batch.Sheet) bool { return s.Recipe == "W-42.5" })
		return day.Sheets[i]
	}
	now := sheet()
	if now.Own.Strings != 0 || now.Check() != now.Gauge {
		t.Fatalf("nothing was measured: %+v", now.Own)
	}
	computed, err := w.Calibrated(w.as(workshop.Winder), "W-42.5", calibratedScale)
	if err != nil {
		t.Fatal(err)
	}
	thou := computed.Gauge / float64(measure.Thou)
	if _, err := w.Calibrate(w.as(workshop.Winder), w.measureGauges(20, thou-0.6)); err != nil {
		t.Fatal(err)
	}
	now = sheet()
	own := now.Own
	if off := own.Gauge.Thou() - (thou - 0.6); off < 0 || off > 0.02 || own.Strings != 20 || math.Abs(own.Computed.Thou()-thou) > 0.006 || now.Check() != own.Gauge {
		t.Errorf("20 strings measure %.3f; the sheet has %+v and checks %s", thou-0.6, own, now.Check())
	}
	if strings.Contains(fmt.Sprint(now.Cautions), "tell the lead") {
		t.Errorf("within the tolerance: %q", now.Cautions)
	}
	if _, err := w.Calibrate(w.as(workshop.Winder), w.measureGauges(20, thou-1.2)); err != nil {
		t.Fatal(err)
	}
	if _, err := w.TakeBackCalibration(w.as(workshop.Lead), "W-42.5", 1, "another day's wire"); err != nil {
		t.Fatal(err)
	}
	if now = sheet(); !strings.Contains(fmt.Sprint(now.Cautions), "tell the lead") {
		t.Errorf("strings measure 1.2 thou less than they go by: %q", now.Cautions)
	}
	if _, err := w.TakeBackCalibration(w.as(workshop.Lead), "W-42.5", 2, "again"); err != nil {
		t.Fatal(err)
	}
	if now = sheet(); now.Check() != now.Gauge {
		t.Errorf("taken back: %+v", now.Own)
	}
}

// The finder and the set bench put computed and calibrated side by side; computed figures stay what they were.
func TestSetWorkHasTheShopsOwnFigures(t *testing.T) {
	w := newWinders(t)
	ask := func() (setwork.TensionString, setwork.Found) {
		t.Helper()
		set := setwork.SetOf{Strings: []setwork.SetString{{Recipe: "W-42.5", ScaleIn: 25.5, Pitch: "E2"}}}
		tension, err := w.SetTension(w.as(workshop.Lead), setwork.TensionRequest{Set: set})
		if err != nil {
			t.Fatal(err)
		}
		found, err := w.FindWires(w.as(workshop.Lead), setwork.FindRequest{GaugeThou: 42.5, Alloy: "phosphor-bronze-8", ScaleIn: 25.5, Pitch: estimate.Pitch("E2")})
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range found.Found {
			if f.Recipe == "W-42.5" {
				return tension.Strings[0], f
			}
		}
		t.Fatalf("W-42.5 is not found: %+v", found)
		return setwork.TensionString{}, setwork.Found{}
	}
	before, found := ask()
	if before.CalibratedTensionN != nil || before.CalibratedGaugeThou != nil || found.CalibratedGaugeThou != nil {
		t.Errorf("nothing was weighed or measured: %+v", before)
	}
	if _, err := w.Calibrate(w.as(workshop.Winder), w.weighFinished(40, 1.03)); err != nil {
		t.Fatal(err)
	}
	if _, err := w.Calibrate(w.as(workshop.Winder), w.measureGauges(20, before.GaugeThou-0.6)); err != nil {
		t.Fatal(err)
	}
	after, found := ask()
	if after.TensionN != before.TensionN || after.GaugeThou != before.GaugeThou || found.GaugeThou != before.GaugeThou {
		t.Errorf("computed figures moved: %+v, %+v", before, after)
	}
	c, err := w.Calibrated(w.as(workshop.Winder), "W-42.5", calibratedScale)
	if err != nil {
		t.Fatal(err)
	}
	want := before.TensionN * float64(c.CalibratedMass.PerM/c.MassPerM)
	if after.CalibratedTensionN == nil || math.Abs(*after.CalibratedTensionN/want-1) > 1e-12 || want <= before.TensionN*1.015 || want >= before.TensionN*1.03 || after.WeighedStrings != 40 {
		t.Fatalf("wraps 3 %% heavier: %+v, want %v", after.CalibratedTension, want)
	}
	for _, g := range []setwork.CalibratedGauge{after.CalibratedGauge, found.CalibratedGauge} {
		if g.CalibratedGaugeThou == nil || math.Abs(*g.CalibratedGaugeThou-(before.GaugeThou-0.59)) > 0.02 || g.CalibratedGaugeFrom != "recipe" || g.CalibratedGaugeStrings != 20 {
			t.Errorf("20 strings measured .6 less: %+v", g)
		}
	}
}
