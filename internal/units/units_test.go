package units

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
)

// plain puts ordinary spaces and signs in place of those that do not break.
var plain = strings.NewReplacer(noBreak, " ", narrowBreak, " ", "\u2212", "-")

func TestAsAShopReads(t *testing.T) {
	inch, metric := Units{}, Units{Metric: true, Pounds: true, Pull: PoundsForce}
	kgf := Units{Pull: KilogramsForce}
	tests := []struct {
		got  Quantity
		want string
	}{
		{inch.Size(measure.Thou * 27 / 2), "13.5 thou"}, {inch.Size(measure.Thou * 45 / 4), "11.25 thou"}, {inch.Size(10 * measure.Thou), "10.0 thou"},
		{metric.Size(measure.Thou * 27 / 2), "0.343 mm"}, {inch.Scale(measure.Inch * 51 / 2), "25.50 in"}, {metric.Scale(measure.Inch * 51 / 2), "647.7 mm"},
		{inch.Cut(.8235), "32.42 in"}, {metric.Cut(.8235), "823.5 mm"}, {metric.Run(12.345), "12.35 m"}, {inch.Run(12.345), "40.50 ft"},
		{inch.Mass(1_234_567), "1 234.6 g"}, {inch.Mass(-1_500), "-1.5 g"}, {inch.Mass(-1), "0.0 g"}, {metric.Mass(1_234_567), "43.55 oz"},
		{inch.MassExact(1_234_567), "1 234.567 g"}, {metric.MassExact(453_592), "0.999999 lb"}, {inch.Bulk(12_500_000), "12.50 kg"}, {metric.Bulk(12_500_000), "27.56 lb"},
		{inch.Tension(71.234), "71.2 N"}, {metric.Tension(71.234), "16.01 lbf"}, {kgf.Tension(71.234), "7.26 kgf"},
		{inch.Money("EUR", 1_234_567_89), "1 234 567.89 EUR"}, {inch.Money("JPY", 1234), "1 234 JPY"}, {inch.Percent(.125), "12.5 %"},
	}
	for _, tt := range tests {
		if got := plain.Replace(tt.got.String()); got != tt.want {
			t.Errorf("reads %q, want %q", got, tt.want)
		}
	}
}

func TestDaysAndTimes(t *testing.T) {
	berlin, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Fatal(err)
	}
	u := Units{Zone: berlin}
	day, at := calendar.NewDate(2026, 3, 2), time.Date(2026, 3, 2, 23, 30, 0, 0, time.UTC)
	for got, want := range map[string]string{u.Date(day): "Mon 2 Mar 2026", u.LongDate(day): "Monday 2 March 2026", u.ShortDate(day): "Mon 2 Mar", u.Moment(at): "3 Mar 2026, 00:30",
		Units{}.Moment(at): "2 Mar 2026, 23:30", u.Clock(at): "00:30", u.Duration(65*time.Minute + 30*time.Second): "1 h 5.5 min", u.Duration(90 * time.Second): "1.5 min",
		u.Count(1234567): "1 234 567"} {
		if plain.Replace(got) != want {
			t.Errorf("reads %q, want %q", got, want)
		}
	}
	if u.Date(0)+u.Moment(time.Time{})+u.Clock(time.Time{}) != "" {
		t.Error("no day reads as something")
	}
}

func TestWhatPeopleType(t *testing.T) {
	inch, metric := Units{}, Units{Metric: true, Pounds: true}
	for _, tt := range []struct {
		u    Units
		text string
		want measure.Size
	}{{inch, "13.5", measure.Thou * 27 / 2}, {metric, "13.5", 13_500_000}, {metric, " 13.5 thou", measure.Thou * 27 / 2}, {inch, "0.34MM", 340_000}, {inch, ".0135 in", 342_900}, {inch, `.0135"`, 342_900},
		{inch, "1 cm", 10_000_000}} {
		if got, err := tt.u.ParseSize(tt.text); err != nil || got != tt.want {
			t.Errorf("%q is %d, %v, want %d", tt.text, got, err, tt.want)
		}
	}
	for _, tt := range []struct {
		u    Units
		text string
		want measure.Mass
	}{{inch, "812.4", 812_400}, {inch, "1 234.5 g", 1_234_500}, {inch, "1.2 kg", 1_200_000}, {metric, "16", 453_592}, {metric, "1 lb", 453_592}, {inch, "16 oz", 453_592}} {
		if got, err := tt.u.ParseMass(tt.text); err != nil || got != tt.want {
			t.Errorf("%q is %d mg, %v, want %d", tt.text, got, err, tt.want)
		}
	}
	if got, err := metric.ParseScale("648"); err != nil || got != 648*measure.Millimetre {
		t.Errorf("648 is %d, %v", got, err)
	}
	if got, err := metric.ParseBulk("2"); err != nil || got != 907_185 {
		t.Errorf("2 lb is %d mg, %v", got, err)
	}
	for _, bad := range []string{"", "g", "twelve", "1e3", "12 stone"} {
		if v, err := inch.ParseMass(bad); err == nil {
			t.Errorf("%q is read as %d", bad, v)
		}
	}
}

// TestTypedIsReadBack: what a form shows reads as the same quantity, to the last digit that is shown.
func TestTypedIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := Units{Metric: rapid.Bool().Draw(t, "metric"), Pounds: rapid.Bool().Draw(t, "pounds")}
		mass := measure.Mass(rapid.Int64Range(0, 50_000_000).Draw(t, "mg"))
		got, err := u.ParseMass(u.Mass(mass).Typed())
		if err != nil || max(got-mass, mass-got) > 142 { // half a hundredth of an ounce, in milligrams
			t.Fatalf("%d mg reads back as %d, %v", mass, got, err)
		}
	})
}

func TestNew(t *testing.T) {
	if u, err := New("mm", "lb", "lbf", time.UTC); err != nil || !u.Metric || !u.Pounds || u.Pull != PoundsForce {
		t.Errorf("%+v, %v", u, err)
	}
	for _, bad := range [][3]string{{"cm", "g", "N"}, {"mm", "kg", "N"}, {"mm", "g", "n"}} {
		if _, err := New(bad[0], bad[1], bad[2], nil); err == nil || !strings.Contains(err.Error(), "is not one of") {
			t.Errorf("%v gives %v", bad, err)
		}
	}
}

func FuzzParseMass(f *testing.F) {
	for _, s := range []string{"812.4", "1 kg", "16oz", "g", "-1", "\u202f1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, u := range []Units{{}, {Metric: true, Pounds: true}} {
			if m, err := u.ParseMass(text); err == nil && m.String() == "" {
				t.Error("no text")
			}
		}
	})
}

func TestParseTension(t *testing.T) {
	for text, want := range map[string]float64{"75": 75 * 4.4482216152605, "75 N": 75, "16lbf": 16 * 4.4482216152605, " 7.5 kgf ": 7.5 * 9.80665} {
		got, err := Units{Pull: PoundsForce}.ParseTension(text)
		if err != nil || math.Abs(float64(got)-want) > 1e-9*want {
			t.Errorf("%q: %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "N", "-3", "0x10", "inf", "1e3", "75 kg"} {
		if got, err := (Units{}).ParseTension(text); err == nil {
			t.Errorf("%q is read as %v", text, got)
		}
	}
}
