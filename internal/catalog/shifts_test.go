package catalog

import (
	"strings"
	"testing"
	"time"
)

func TestParseShifts(t *testing.T) {
	tests := []struct {
		text   string
		want   Shifts
		length time.Duration
		wrong  string
	}{
		{text: "", want: "", length: 0},
		{text: " 00:00 - 04:00 ; 4:30-8:30 ", want: "0:00-4:00;4:30-8:30", length: 8 * time.Hour},
		{text: "0:00-4:00;4:00-4:01;", want: "0:00-4:00;4:00-4:01", length: 4*time.Hour + time.Minute},
		{text: "16:00-24:00", want: "16:00-24:00", length: 8 * time.Hour},
		{text: "4:00-4:00", wrong: "must end after it begins"},
		{text: "0:00-4:00;3:59-8:00", wrong: "begins before the one before it ends"},
		{text: "16:00-24:01", wrong: "ends after 24:00"},
		{text: "0-4", wrong: "not a shift"},
		{text: "0:0-4:00", wrong: "not a shift"},
		{text: "0:60-4:00", wrong: "not a shift"},
		{text: "-1:00-4:00", wrong: "not a shift"},
		{text: "0:00", wrong: "not a shift"},
	}
	for _, tt := range tests {
		got, err := ParseShifts(tt.text)
		if tt.wrong != "" {
			if err == nil || !strings.Contains(err.Error(), tt.wrong) {
				t.Errorf("%q: error %v, want %q", tt.text, err, tt.wrong)
			}
			continue
		}
		if err != nil || got != tt.want || got.Length() != tt.length {
			t.Errorf("%q: %q of %v, %v; want %q of %v", tt.text, got, got.Length(), err, tt.want, tt.length)
		}
	}
}

// What is read prints as something that reads as the same.
func FuzzParseShifts(f *testing.F) {
	for _, seed := range []string{"", "0:00-4:00;4:30-8:30", "8:00-12:00", "1:00-0:00", ";;", "24:00-24:00"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseShifts(text)
		if err != nil {
			return
		}
		again, err := ParseShifts(string(s))
		if err != nil || again != s {
			t.Fatalf("%q reads as %q, that as %q, %v", text, s, again, err)
		}
		var end time.Duration
		for _, shift := range s.List() {
			if shift.From < end || shift.Till <= shift.From {
				t.Fatalf("%q has %v", text, s.List())
			}
			end = shift.Till
		}
		if (len(s.List()) == 0) != (s == "") {
			t.Fatalf("%q lists %v", s, s.List())
		}
	})
}
