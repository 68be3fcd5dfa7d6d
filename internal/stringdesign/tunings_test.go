package stringdesign

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"windingroom/internal/measure"
)

// TestTuningsCanBePlayed: every pitch can be read, and the strings of a set that is not in courses go from high to low.
func TestTuningsCanBePlayed(t *testing.T) {
	seen := map[string]bool{}
	for _, tuning := range Tunings() {
		if seen[tuning.Code] || tuning.Name == "" {
			t.Errorf("%q comes twice or has no name", tuning.Code)
		}
		seen[tuning.Code] = true
		courses, before := slices.Contains([]string{"nine-courses", "ten-courses", "eleven-courses", "twelve-courses"}, tuning.Code), measure.Frequency(1e9)
		for _, p := range tuning.Pitches {
			f, err := ParsePitch(p)
			if err != nil || !courses && f >= before {
				t.Errorf("%s: %s is %v after %v, %v", tuning.Code, p, f, before, err)
			}
			before = f
		}
	}
}

func TestFanned(t *testing.T) {
	mm := measure.Millimetre
	got := Fanned(648*mm, 686*mm, mm/10, 7)
	want := []measure.Size{648 * mm, 6543 * mm / 10, 6607 * mm / 10, 667 * mm, 6733 * mm / 10, 6797 * mm / 10, 686 * mm}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	if one := Fanned(25*measure.Inch, 27*measure.Inch, 1, 1); !slices.Equal(one, []measure.Size{25 * measure.Inch}) {
		t.Errorf("one string: %v", one)
	}
}

// TestFannedIsEven: the ends are the two scales, and no two gaps between neighbours differ by more than the rounding.
func TestFannedIsEven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step := measure.Size(rapid.SampledFrom([]int64{1, 25_400, 100_000}).Draw(t, "step"))
		treble, bass := measure.Size(rapid.Int64Range(1, 30_000).Draw(t, "treble"))*step, measure.Size(rapid.Int64Range(1, 30_000).Draw(t, "bass"))*step
		all := Fanned(treble, bass, step, rapid.IntRange(2, 24).Draw(t, "strings"))
		if all[0] != treble || all[len(all)-1] != bass {
			t.Fatalf("from %v to %v: %v", treble, bass, all)
		}
		for i := 2; i < len(all); i++ {
			if d := (all[i] - all[i-1]) - (all[1] - all[0]); d > 2*step || d < -2*step {
				t.Fatalf("uneven at %d: %v", i, all)
			}
		}
	})
}
