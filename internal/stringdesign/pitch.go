package stringdesign

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"windingroom/internal/measure"
)

// ErrPitch says that a text is not a pitch that can be read.
var ErrPitch = errors.New("not a pitch such as E4, F#2, Bb1 or 82.41 (hertz)")

// concertA is the standard tuning frequency of A4 (ISO 16:1975, front matter read in a copy).
const concertA = 440

// Pitches outside these limits are slips; the lowest note of large organs is 16 Hz, of the piano's top 4186 Hz.
const (
	lowestPitch  measure.Frequency = 8
	highestPitch measure.Frequency = 5000
)

// semitones of the natural notes above C.
var semitones = map[byte]int{'C': 0, 'D': 2, 'E': 4, 'F': 5, 'G': 7, 'A': 9, 'B': 11}

// equalTempered holds 2^(k/12): written out, since a library's exponential differs in the last bit between machines.
var equalTempered = [12]float64{
	1, 1.0594630943592952646, 1.1224620483093729814, 1.1892071150027210667, 1.2599210498948731648, 1.3348398541700343648,
	1.4142135623730950488, 1.4983070768766814988, 1.5874010519681994748, 1.6817928305074290861, 1.7817974362806786095,
	1.8877486253633869932,
}

// Note gives the frequency of the note n semitones above A4 (below: negative): 440 × 2^(n/12) Hz, equal temperament.
func Note(n int) measure.Frequency {
	octave, step := n/12, n%12
	if step < 0 {
		octave, step = octave-1, step+12
	}
	return measure.Frequency(math.Ldexp(concertA*equalTempered[step], octave))
}

// ParsePitch reads a note in scientific octave numbers (E4, F#2, Bb1, also with the signs ♯ and ♭, in any case) or a
// number of hertz (82.41, 82.41 Hz). It refuses what lies outside 8 to 5000 Hz.
func ParsePitch(text string) (measure.Frequency, error) {
	t := strings.TrimSpace(text)
	if t == "" {
		return 0, fmt.Errorf("an empty text is %w", ErrPitch)
	}
	f, ok := parseHertz(t)
	if !ok {
		f, ok = parseNote(t)
	}
	if !ok {
		return 0, fmt.Errorf("%q is %w", text, ErrPitch)
	}
	if !(f >= lowestPitch && f <= highestPitch) {
		return 0, fmt.Errorf("%q is outside %g to %g Hz, so %w", text, lowestPitch, highestPitch, ErrPitch)
	}
	return f, nil
}

func parseHertz(t string) (measure.Frequency, bool) {
	if n := len(t) - 2; n > 0 && strings.EqualFold(t[n:], "hz") {
		t = strings.TrimSpace(t[:n])
	}
	if t == "" || strings.Trim(t, "0123456789.") != "" { // no exponent, sign, hexadecimal or infinity
		return 0, false
	}
	f, err := strconv.ParseFloat(t, 64)
	return measure.Frequency(f), err == nil
}

func parseNote(t string) (measure.Frequency, bool) {
	letter := t[0] &^ 0x20 // upper case of an ASCII letter
	base, ok := semitones[letter]
	if !ok {
		return 0, false
	}
	rest := t[1:]
	for sign, shift := range map[string]int{"#": 1, "♯": 1, "b": -1, "B": -1, "♭": -1} {
		if after, found := strings.CutPrefix(rest, sign); found {
			rest, base = after, base+shift
			break
		}
	}
	digits := strings.TrimPrefix(rest, "-")
	if len(digits) != 1 || digits[0] < '0' || digits[0] > '9' {
		return 0, false
	}
	octave := int(digits[0] - '0')
	if rest != digits {
		octave = -octave
	}
	return Note(base - semitones['A'] + 12*(octave-4)), true
}

// noteNames are the names by semitone above C; sharps, as tuners show them.
var noteNames = [12]string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}

// NoteName names the nearest note of a positive frequency, and by how many cents the frequency lies above it (-50 to 50).
func NoteName(f measure.Frequency) (name string, cents float64) {
	above := 12 * math.Log2(float64(f)/concertA) // semitones above A4
	nearest := int(math.Round(above))
	fromC0 := nearest + semitones['A'] + 4*12
	octave, step := fromC0/12, fromC0%12
	if step < 0 {
		octave, step = octave-1, step+12
	}
	return noteNames[step] + strconv.Itoa(octave), 100 * (above - float64(nearest))
}

// PitchText prints a frequency for people: the note where it is one to within a cent ("E2"), else with its distance
// ("E2 +14 cents").
func PitchText(f measure.Frequency) string {
	name, cents := NoteName(f)
	if rounded := math.Round(cents); rounded != 0 {
		return fmt.Sprintf("%s %+.0f cents", name, rounded)
	}
	return name
}

// Transposed gives a pitch as it is written, moved by equal-tempered semitones: a note as a note, anything else in hertz to the
// hundredth.
func Transposed(text string, semitones int) (string, error) {
	f, err := ParsePitch(text)
	if err != nil {
		return "", err
	}
	moved := f * measure.Frequency(math.Exp2(float64(semitones)/12))
	written := strconv.FormatFloat(float64(moved), 'f', 2, 64)
	if _, hertz := parseHertz(strings.TrimSpace(text)); !hertz {
		written, _ = NoteName(moved)
	}
	_, err = ParsePitch(written)
	return written, err
}
