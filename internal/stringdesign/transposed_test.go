package stringdesign

import "testing"

func TestTransposed(t *testing.T) {
	for _, tt := range []struct {
		text      string
		semitones int
		want      string
	}{{"E4", 0, "E4"}, {"E2", -2, "D2"}, {"C3", -1, "B2"}, {"Bb1", 2, "C2"}, {"440", 12, "880.00"}, {"82.41 Hz", -12, "41.20"}} {
		if got, err := Transposed(tt.text, tt.semitones); err != nil || got != tt.want {
			t.Errorf("%s by %d: %q, %v; want %s", tt.text, tt.semitones, got, err, tt.want)
		}
	}
	for _, text := range []string{"", "H2", "5000"} {
		if got, err := Transposed(text, 12); err == nil {
			t.Errorf("%q is %q", text, got)
		}
	}
}
