package stringdesign

import (
	"errors"
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/measure"
)

func TestParsePitch(t *testing.T) {
	tests := []struct {
		text string
		want float64
	}{
		{"A4", 440}, {"a4", 440}, {" A4 ", 440}, {"A2", 110}, {"A0", 27.5},
		{"E2", 82.406889}, {"F#2", 92.498606}, {"Bb1", 58.270470}, {"B♭1", 58.270470}, {"bb1", 58.270470}, {"BB1", 58.270470},
		{"F♯2", 92.498606}, {"f#2", 92.498606}, {"b1", 61.735413}, {"C4", 261.625565}, {"c-1", 8.175799},
		{"Gb2", 92.498606}, {"B#3", 261.625565}, {"Cb4", 246.941651}, {"E#4", 349.228231},
		{"82.41", 82.41}, {"440", 440}, {"110.0 Hz", 110}, {"110hz", 110}, {"8", 8}, {"5000", 5000}, {".5e", -1},
	}
	for _, tt := range tests {
		t.Run(tt.text, func(t *testing.T) {
			got, err := ParsePitch(tt.text)
			if tt.want < 0 {
				if !errors.Is(err, ErrPitch) {
					t.Fatalf("got %v, %v, want ErrPitch", got, err)
				}
				return
			}
			if err != nil || math.Abs(float64(got)-tt.want) > 1e-6 {
				t.Errorf("got %v, %v, want %v", got, err, tt.want)
			}
		})
	}
}

func TestParsePitchRefuses(t *testing.T) {
	for _, text := range []string{"", " ", "E", "H2", "E#", "E44", "E4x", "4E", "Ebb4", "E##4", "♭", "E♭", "-110", "+110", "1e2", "0x10", "Inf",
		"NaN", "7.9", "5000.1", "0", "C-2", "C9000", "E8", "Hz", ".", "1.2.3", "110 kHz", "E 4", "E4 E4", "\xff4", "A\xe2\x99"} {
		if got, err := ParsePitch(text); !errors.Is(err, ErrPitch) {
			t.Errorf("%q: got %v, %v, want ErrPitch", text, got, err)
		}
	}
}

// TestNotes holds the written-out table of ratios against the library's exponential, over more octaves than anyone plays.
func TestNotes(t *testing.T) {
	for n := -72; n <= 60; n++ {
		want := 440 * math.Exp2(float64(n)/12)
		if got := float64(Note(n)); math.Abs(got/want-1) > 4e-16 {
			t.Errorf("%d semitones from A4: %v, want %v", n, got, want)
		}
	}
}

// TestNoteNameRoundTrip: every note that is printed reads back as the same frequency, also a little out of tune.
func TestNoteNameRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(-69, 42).Draw(t, "semitones from A4")
		cents := rapid.Float64Range(-49, 49).Draw(t, "cents")
		name, off := NoteName(Note(n) * measure.Frequency(math.Exp2(cents/1200)))
		back, err := ParsePitch(name)
		if err != nil || back != Note(n) || math.Abs(off-cents) > 1e-8 {
			t.Fatalf("%d semitones and %v cents became %s %+v cents, read back as %v, %v", n, cents, name, off, back, err)
		}
	})
}

func TestPitchText(t *testing.T) {
	for want, f := range map[string]measure.Frequency{"E2": 82.41, "A4": 440, "A4 +20 cents": 445.1, "C-1": 8.1758, "G#4 -8 cents": 413.4} {
		if got := PitchText(f); got != want {
			t.Errorf("%v Hz prints as %q, want %q", f, got, want)
		}
	}
}

func FuzzParsePitch(f *testing.F) {
	for _, seed := range []string{"E4", "F#2", "Bb1", "B♭1", "f♯2", "82.41", "110 Hz", "C-1", "", "E", "H2", "1e9", "\xff", "♯♯", "0x1p3"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := ParsePitch(text)
		if err != nil {
			if !errors.Is(err, ErrPitch) || got != 0 {
				t.Fatalf("%q: got %v with error %v", text, got, err)
			}
			return
		}
		if !(got >= lowestPitch && got <= highestPitch) {
			t.Fatalf("%q gave %v Hz", text, got)
		}
		hertz := strconv.FormatFloat(float64(got), 'f', -1, 64)
		if again, err := ParsePitch(hertz); err != nil || again != got {
			t.Fatalf("%q gave %v Hz, which read back as %v, %v", text, got, again, err)
		}
	})
}
