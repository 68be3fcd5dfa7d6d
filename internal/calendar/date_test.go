package calendar

import (
	"encoding/json"
	"testing"
	"time"
	_ "time/tzdata" // so that the zones below exist on every machine

	"pgregory.net/rapid"
)

func TestNewDate(t *testing.T) {
	tests := []struct {
		name    string
		date    Date
		text    string
		weekday time.Weekday
	}{
		{"first day of the count", NewDate(1, time.January, 1), "0001-01-01", time.Monday},
		{"a leap day", NewDate(2024, time.February, 29), "2024-02-29", time.Thursday},
		{"normalised", NewDate(2026, time.February, 29), "2026-03-01", time.Sunday},
		{"thirteenth month", NewDate(2025, 13, 1), "2026-01-01", time.Thursday},
		{"before the epoch of other clocks", NewDate(1969, time.July, 20), "1969-07-20", time.Sunday},
		{"end of what is read", NewDate(2199, time.December, 31), "2199-12-31", time.Tuesday},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.date.String(); got != tt.text {
				t.Errorf("prints %q, want %q", got, tt.text)
			}
			if got := tt.date.Weekday(); got != tt.weekday {
				t.Errorf("is a %s, want %s", got, tt.weekday)
			}
		})
	}
	if got := NewDate(1, time.January, 1); got != 1 {
		t.Errorf("1 January of year 1 is %d, want 1", got)
	}
}

func TestParseDate(t *testing.T) {
	tests := []struct {
		name, text string
		want       Date
		fails      bool
	}{
		{name: "a day", text: "2026-03-02", want: NewDate(2026, time.March, 2)},
		{name: "first accepted", text: "1900-01-01", want: NewDate(1900, time.January, 1)},
		{name: "last accepted", text: "2199-12-31", want: NewDate(2199, time.December, 31)},
		{name: "too early", text: "1899-12-31", fails: true},
		{name: "too late", text: "2200-01-01", fails: true},
		{name: "no such day", text: "2026-02-29", fails: true},
		{name: "no such month", text: "2026-13-01", fails: true},
		{name: "one digit", text: "2026-3-2", fails: true},
		{name: "other order", text: "02.03.2026", fails: true},
		{name: "time after it", text: "2026-03-02T00:00:00Z", fails: true},
		{name: "blank before it", text: " 2026-03-02", fails: true},
		{name: "empty", text: "", fails: true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := ParseDate(tt.text)
			if (err != nil) != tt.fails || got != tt.want {
				t.Errorf("got %v, %v; want %v, an error: %v", got, err, tt.want, tt.fails)
			}
		})
	}
}

func FuzzParseDate(f *testing.F) {
	for _, seed := range []string{
		"2026-03-02", "1900-01-01", "2199-12-31", "2024-02-29", "2023-02-29", "0000-00-00", "2026-3-2", "", "-", "+2026-03-02",
		"2026-03-02 ", "2026-03-02T10:00:00Z", "٢٠٢٦-٠٣-٠٢", "2026-03-02\x00", "99999-01-01",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, in string) {
		d, err := ParseDate(in)
		if err == nil && d.String() != in {
			t.Errorf("%q was read as %s", in, d)
		}
	})
}

func anyDate() *rapid.Generator[Date] {
	first, last := NewDate(1900, time.January, 1), NewDate(2199, time.December, 31)
	return rapid.Map(rapid.Int32Range(int32(first), int32(last)), func(n int32) Date { return Date(n) })
}

func TestDateSurvivesTextAndStorage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDate().Draw(t, "date")
		if got, err := ParseDate(d.String()); err != nil || got != d {
			t.Errorf("%d printed %q and read back as %d, %v", d, d, got, err)
		}
		stored, err := d.Value()
		if err != nil {
			t.Fatal(err)
		}
		for name, src := range map[string]any{"text": stored, "bytes": []byte(d.String()), "time": d.Time()} {
			var got Date
			if err := got.Scan(src); err != nil || got != d {
				t.Errorf("%s stored as %s came back as %s, %v", d, name, got, err)
			}
		}
		if tomorrow := d + 1; !tomorrow.Time().Equal(d.Time().AddDate(0, 0, 1)) {
			t.Errorf("the day after %s is %s", d, tomorrow)
		}
	})
}

func TestNoDate(t *testing.T) {
	var none Date
	if !none.IsZero() || none.String() != "" {
		t.Errorf("no date prints %q", none)
	}
	if stored, err := none.Value(); stored != nil || err != nil {
		t.Errorf("no date is stored as %v, %v", stored, err)
	}
	got := NewDate(2026, time.March, 2)
	if err := got.Scan(nil); err != nil || !got.IsZero() {
		t.Errorf("NULL came back as %s, %v", got, err)
	}
	if err := got.Scan(int64(5)); err == nil {
		t.Error("a number was taken for a date")
	}
}

func TestDateInJSON(t *testing.T) {
	type row struct{ Day, None Date }
	text, err := json.Marshal(row{Day: NewDate(2026, time.March, 2)})
	if want := `{"Day":"2026-03-02","None":""}`; err != nil || string(text) != want {
		t.Fatalf("got %s, %v; want %s", text, err, want)
	}
	var back row
	if err := json.Unmarshal(text, &back); err != nil || back.Day != NewDate(2026, time.March, 2) || !back.None.IsZero() {
		t.Errorf("read back %+v, %v", back, err)
	}
	if err := json.Unmarshal([]byte(`{"Day":"2026-02-30"}`), &back); err == nil {
		t.Error("a day that does not exist was accepted")
	}
}

// In zones that change their clocks at midnight a date has no 00:00, or two.
func TestDateBeginsOnceInEveryZone(t *testing.T) {
	zones := []string{
		"UTC", "America/New_York", "Europe/Berlin", "America/Sao_Paulo", "America/Havana", "Africa/Cairo", "Asia/Beirut",
		"Atlantic/Azores", "Asia/Gaza", "Australia/Lord_Howe", "America/St_Johns", "Asia/Kathmandu",
	}
	for _, zone := range zones {
		t.Run(zone, func(t *testing.T) {
			loc, err := time.LoadLocation(zone)
			if err != nil {
				t.Fatal(err)
			}
			for d := NewDate(1985, time.January, 1); d < NewDate(2027, time.January, 1); d++ {
				begins := d.In(loc)
				if Of(begins) != d {
					t.Errorf("%s begins at %s", d, begins)
				}
				if before := begins.Add(-1); Of(before) >= d {
					t.Errorf("%s begins at %s, but has begun a moment before", d, begins)
				}
			}
		})
	}
}
