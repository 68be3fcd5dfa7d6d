package stringdesign

import (
	"math"

	"windingroom/internal/measure"
)

// Tuning is a common tuning: the pitches of a set, its first string first.
type Tuning struct {
	Code, Name string
	Pitches    []string
}

// Tunings lists common tunings of guitars and basses. Strings in courses stand side by side, the octave string of a course before the
// one that it belongs to. Common practice, no source.
func Tunings() []Tuning {
	return []Tuning{
		{"six", "Six strings, standard", []string{"E4", "B3", "G3", "D3", "A2", "E2"}},
		{"six-drop", "Six, the last a tone down (drop D)", []string{"E4", "B3", "G3", "D3", "A2", "D2"}},
		{"six-half", "Six, half a step down", []string{"Eb4", "Bb3", "Gb3", "Db3", "Ab2", "Eb2"}},
		{"six-whole", "Six, a whole step down", []string{"D4", "A3", "F3", "C3", "G2", "D2"}},
		{"seven", "Seven strings, low B", []string{"E4", "B3", "G3", "D3", "A2", "E2", "B1"}},
		{"seven-drop", "Seven, the last a tone down", []string{"E4", "B3", "G3", "D3", "A2", "E2", "A1"}},
		{"eight", "Eight strings, low F#", []string{"E4", "B3", "G3", "D3", "A2", "E2", "B1", "F#1"}},
		{"nine", "Nine strings, low C#", []string{"E4", "B3", "G3", "D3", "A2", "E2", "B1", "F#1", "C#1"}},
		{"nine-courses", "Nine in six courses, the three highest doubled", []string{"E4", "E4", "B3", "B3", "G4", "G3", "D3", "A2", "E2"}},
		{"ten-courses", "Ten in six courses, the four lowest doubled", []string{"E4", "B3", "G4", "G3", "D4", "D3", "A3", "A2", "E3", "E2"}},
		{"eleven-courses", "Eleven in six courses, all but the first doubled", []string{"E4", "B3", "B3", "G4", "G3", "D4", "D3", "A3", "A2", "E3", "E2"}},
		{"twelve-courses", "Twelve in six courses", []string{"E4", "E4", "B3", "B3", "G4", "G3", "D4", "D3", "A3", "A2", "E3", "E2"}},
		{"bass", "Bass of four strings", []string{"G2", "D2", "A1", "E1"}},
		{"bass-drop", "Bass of four, the last a tone down", []string{"G2", "D2", "A1", "D1"}},
		{"bass-five", "Bass of five, low B", []string{"G2", "D2", "A1", "E1", "B0"}},
		{"bass-six", "Bass of six, low B and high C", []string{"C3", "G2", "D2", "A1", "E1", "B0"}},
	}
}

// Fanned gives the scale length of each of n strings on fanned frets, from the treble side's to the bass side's, evenly:
// treble + (bass − treble) × (position − 1) ÷ (n − 1), to the nearest step (nm). One string has the treble's. Common practice, no source.
func Fanned(treble, bass, step measure.Size, n int) []measure.Size {
	all := make([]measure.Size, n)
	for i := range all {
		along := 0.0
		if n > 1 {
			along = float64(i) / float64(n-1)
		}
		all[i] = measure.Size(math.Round((float64(treble)+float64(bass-treble)*along)/float64(step))) * step
	}
	return all
}
