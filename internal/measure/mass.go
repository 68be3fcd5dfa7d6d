package measure

import (
	"fmt"
	"math"
)

// Mass is a mass in whole milligrams: what a spool holds and a movement moves.
type Mass int64

// Units of Mass. A pound is not a whole number of milligrams (453 592.37), so it is reached through ParsePounds.
const (
	Milligram Mass = 1
	Gram      Mass = 1_000
	Kilogram  Mass = 1_000_000
)

// maxMass bounds what the parsers accept: 1 000 t, far beyond any shop, far below overflow.
const maxMass Mass = 1_000_000 * Kilogram

// Grams gives the mass in grams.
func (m Mass) Grams() float64 { return float64(m) / float64(Gram) }

// Kilograms gives the mass in kilograms.
func (m Mass) Kilograms() float64 { return float64(m) / float64(Kilogram) }

// Pounds gives the mass in avoirdupois pounds.
func (m Mass) Pounds() float64 { return float64(m) / 453_592.37 }

// GramText prints the mass in grams exactly, without trailing zeros.
func (m Mass) GramText() string { return decimalText(int64(m), int64(Gram), 3) }

// KilogramText prints the mass in kilograms exactly, without trailing zeros.
func (m Mass) KilogramText() string { return decimalText(int64(m), int64(Kilogram), 6) }

// PoundText prints the mass in pounds with seven decimals at most, enough for ParsePounds to give the same mass back.
func (m Mass) PoundText() string { return trimZeros(fmt.Sprintf("%.7f", m.Pounds())) }

// String prints the mass in grams with its unit.
func (m Mass) String() string { return m.GramText() + " g" }

// ParseGrams reads a mass written in grams, exact to the milligram; finer decimals are rounded, half away from zero.
func ParseGrams(text string) (Mass, error) { return parseMass(text, int64(Gram), 1) }

// ParseKilograms reads a mass written in kilograms, rounded to the nearest milligram.
func ParseKilograms(text string) (Mass, error) { return parseMass(text, int64(Kilogram), 1) }

// ParsePounds reads a mass written in avoirdupois pounds, rounded to the nearest milligram.
func ParsePounds(text string) (Mass, error) { return parseMass(text, 45_359_237, 100) }

// ParseOunces reads a mass written in avoirdupois ounces, sixteen to the pound, rounded to the nearest milligram.
func ParseOunces(text string) (Mass, error) { return parseMass(text, 45_359_237, 1600) }

func parseMass(text string, num, den int64) (Mass, error) {
	n, err := parseRatio(text, num, den)
	if err != nil {
		return 0, err
	}
	if n > int64(maxMass) || n < -int64(maxMass) {
		return 0, fmt.Errorf("%q is beyond 1000 t", text)
	}
	return Mass(n), nil
}

// MassFromGrams converts a JSON number of grams to the nearest milligram. It fails for a number that is not finite or
// beyond 1 000 t.
func MassFromGrams(v float64) (Mass, error) {
	n := math.Round(v * float64(Gram))
	if math.IsNaN(n) || math.Abs(n) > float64(maxMass) {
		return 0, fmt.Errorf("%v is not a mass below 1000 t", v)
	}
	return Mass(n), nil
}

// MassEach is the wire one string takes, in whole nanograms: fine enough that strings × MassEach, an exact integer, rounds
// to the same milligram as the unrounded calculation for any run a shop winds.
type MassEach int64

// MassEachFromKilograms rounds a computed mass to the nearest nanogram. The caller has made sure that it is finite and
// below a tonne.
func MassEachFromKilograms(kg float64) MassEach { return MassEach(math.Round(kg * 1e12)) }

// Milligrams gives the unrounded mass of one string in milligrams.
func (m MassEach) Milligrams() float64 { return float64(m) / 1e6 }

// Times gives the mass of n strings in whole milligrams, rounded once, half up. This is the one place where a computed
// mass becomes a stock mass. It is exact for every product that fits a Mass.
func (m MassEach) Times(n int64) Mass {
	const ngPerMg = 1_000_000
	// m·n/10⁶ with both factors split at 10⁶, so that only exact integers are multiplied and one division rounds.
	whole, part := floorDiv(int64(m), ngPerMg)
	millions, rest := floorDiv(n, ngPerMg)
	rounded, _ := floorDiv(part*rest+ngPerMg/2, ngPerMg)
	return Mass(whole*n + part*millions + rounded)
}

// floorDiv gives the quotient rounded down and the remainder, which is never negative for d > 0.
func floorDiv(n, d int64) (quotient, remainder int64) {
	quotient, remainder = n/d, n%d
	if remainder < 0 {
		quotient, remainder = quotient-1, remainder+d
	}
	return quotient, remainder
}
