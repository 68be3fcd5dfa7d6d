package units

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"windingroom/internal/measure"
)

// suffix is a unit that a person may write behind a number, with how to read the number.
type suffix[Q any] struct {
	name string
	read func(string) (Q, error)
}

// Suffixes are tried in their order, so that a longer one stands before one that it ends with.
var (
	sizeSuffixes = []suffix[measure.Size]{{"thou", measure.ParseThou}, {"mil", measure.ParseThou}, {"mm", measure.ParseMillimetres},
		{"in", measure.ParseInches}, {"\"", measure.ParseInches}, {"cm", centimetres}}
	pullSuffixes = []suffix[measure.Force]{{"kgf", pulling(standardGravity)}, {"lbf", pulling(poundForce)}, {"n", pulling(1)}}
	massSuffixes = []suffix[measure.Mass]{{"kg", measure.ParseKilograms}, {"g", measure.ParseGrams}, {"lb", measure.ParsePounds}, {"oz", measure.ParseOunces}}
)

func centimetres(text string) (measure.Size, error) {
	s, err := measure.ParseMillimetres(text)
	return 10 * s, err
}

// ParseSize reads a gauge or the size of a wire: a number in SizeUnit, or one with its unit, such as 0.34 mm, 13.5 thou, .0135 in.
func (u Units) ParseSize(text string) (measure.Size, error) {
	return read(text, sizeSuffixes, u.SizeUnit())
}

// ParseScale reads a scale length: a number in LengthUnit, or one with its unit, such as 25.5 in, 648 mm.
func (u Units) ParseScale(text string) (measure.Size, error) {
	return read(text, sizeSuffixes, u.LengthUnit())
}

// ParseMass reads what a scale shows: a number in MassUnit, or one with its unit, such as 812.4 g, 1.2 kg, 28.6 oz, 1.79 lb.
func (u Units) ParseMass(text string) (measure.Mass, error) {
	return read(text, massSuffixes, u.MassUnit())
}

// ParseBulk reads what is bought: a number in BulkUnit, or one with its unit.
func (u Units) ParseBulk(text string) (measure.Mass, error) {
	return read(text, massSuffixes, u.BulkUnit())
}

// read reads a number in the named unit, or in the one that the text itself names. Spaces that group digits are left away.
func read[Q any](text string, known []suffix[Q], unit string) (Q, error) {
	number := strings.ToLower(strings.Join(strings.Fields(text), ""))
	for _, s := range known {
		if rest, ok := strings.CutSuffix(number, s.name); ok {
			return s.read(rest)
		}
	}
	for _, s := range known {
		if s.name == unit {
			return s.read(number)
		}
	}
	var none Q
	return none, fmt.Errorf("nothing reads the unit %q", unit)
}

// poundForce is exact: 0.453 592 37 kg at standard gravity.
const poundForce = 0.45359237 * standardGravity

// pulling reads a number of a unit of so many newtons.
func pulling(newtons float64) func(string) (measure.Force, error) {
	return func(text string) (measure.Force, error) {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || strings.Trim(text, "0123456789.") != "" {
			return 0, fmt.Errorf("%q is not a tension such as 75", text)
		}
		return measure.Force(v * newtons), nil
	}
}

// ParseTension reads the pull of a string: a number in TensionUnit, or one with its unit, such as 71 N, 16 lbf, 7.3 kgf.
func (u Units) ParseTension(text string) (measure.Force, error) {
	return read(text, pullSuffixes, strings.ToLower(u.TensionUnit()))
}

// Typed gives a quantity as a form takes it: its number without spaces between digits.
func (q Quantity) Typed() string {
	return strings.NewReplacer(narrowBreak, "", "\u2212", "-").Replace(q.Number)
}
