package measure

import (
	"fmt"
	"math"
)

// Size is a diameter, thickness, gauge or scale length in whole nanometres.
// A thousandth of an inch is exactly 25 400 nm, so half- and tenth-thou sizes are exact.
type Size int64

// Units of Size.
const (
	Nanometre  Size = 1
	Micrometre Size = 1_000
	Millimetre Size = 1_000_000
	Thou       Size = 25_400
	Inch       Size = 25_400_000
)

// maxSize bounds what ParseThou, ParseInches and ParseMillimetres accept: 100 m, far beyond any string, far below overflow.
const maxSize Size = 100_000 * Millimetre

// Metres gives the size as a length for calculation.
func (s Size) Metres() Length { return Length(float64(s) * 1e-9) }

// Thou gives the size in thousandths of an inch, for arithmetic on screens; printing uses ThouText, which is exact.
func (s Size) Thou() float64 { return float64(s) / float64(Thou) }

// Inches gives the size in inches.
func (s Size) Inches() float64 { return float64(s) / float64(Inch) }

// Millimetres gives the size in millimetres.
func (s Size) Millimetres() float64 { return float64(s) / float64(Millimetre) }

// ThouText prints the size in thousandths of an inch with no more decimals than it needs, at most five
// (13.5, 10, 9.84252). ParseThou of the text gives the same size back.
func (s Size) ThouText() string { return decimalText(int64(s), int64(Thou), 5) }

// InchText prints the size in inches (25.5), at most eight decimals; ParseInches gives the same size back.
func (s Size) InchText() string { return decimalText(int64(s), int64(Inch), 8) }

// MillimetreText prints the size in millimetres, at most six decimals, exactly.
func (s Size) MillimetreText() string { return decimalText(int64(s), int64(Millimetre), 6) }

// String prints the size in thousandths of an inch with its unit.
func (s Size) String() string { return s.ThouText() + " thou" }

// ParseThou reads a size written in thousandths of an inch ("13.5"). It is exact to 0.01 thou; a finer decimal is rounded to
// the nearest nanometre, half away from zero. The error says what is wrong with the text.
func ParseThou(text string) (Size, error) { return parseSize(text, Thou) }

// ParseInches reads a size written in inches ("25.5"), rounded to the nearest nanometre.
func ParseInches(text string) (Size, error) { return parseSize(text, Inch) }

// ParseMillimetres reads a size written in millimetres ("0.343"), exact to the nanometre.
func ParseMillimetres(text string) (Size, error) { return parseSize(text, Millimetre) }

func parseSize(text string, unit Size) (Size, error) {
	n, err := parseScaled(text, int64(unit))
	if err != nil {
		return 0, err
	}
	if n > int64(maxSize) || n < -int64(maxSize) {
		return 0, fmt.Errorf("%q is beyond 100 m", text)
	}
	return Size(n), nil
}

// SizeFromThou converts a JSON or spreadsheet number of thousandths of an inch to the nearest nanometre.
// It fails for a number that is not finite or beyond 100 m.
func SizeFromThou(v float64) (Size, error) { return sizeFromFloat(v, Thou) }

// SizeFromInches converts a number of inches to the nearest nanometre; it fails as SizeFromThou does.
func SizeFromInches(v float64) (Size, error) { return sizeFromFloat(v, Inch) }

// SizeFromMillimetres converts a number of millimetres to the nearest nanometre; it fails as SizeFromThou does.
func SizeFromMillimetres(v float64) (Size, error) { return sizeFromFloat(v, Millimetre) }

func sizeFromFloat(v float64, unit Size) (Size, error) {
	n := math.Round(v * float64(unit))
	if math.IsNaN(n) || math.Abs(n) > float64(maxSize) {
		return 0, fmt.Errorf("%v is not a size below 100 m", v)
	}
	return Size(n), nil
}
