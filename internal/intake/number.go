package intake

import (
	"strconv"
	"strings"
	"time"

	"windingroom/internal/measure"
)

// Limits beyond which a figure is a slip of the unit or of the decimal point; common practice, no source.
const (
	maxWireSize = 10 * measure.Millimetre // wires, gauges, lays
	maxMass     = 1000 * measure.Kilogram // of a spool or a pack
)

// decimal gives the text of a plain decimal number that must be there; the rest says what it should be.
func (r *row) decimal(column, what string, args ...any) (string, bool) {
	text, ok := r.need(column, what, args...)
	if !ok {
		return "", false
	}
	digits := strings.TrimLeft(text, "+-")
	whole, part, _ := strings.Cut(digits, ".")
	if len(text)-len(digits) > 1 || len(text) > 40 || whole+part == "" || strings.Trim(whole+part, "0123456789") != "" {
		r.fail(column, "%q is %v", excerpt(text), measure.ErrNotANumber)
		return "", false
	}
	return text, true
}

// number reads a decimal number between two bounds, both allowed.
func (r *row) number(column string, low, high float64) float64 {
	text, ok := r.decimal(column, "a number from %g to %g", low, high)
	if !ok {
		return 0
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || v < low || v > high {
		r.fail(column, "%s is not a number from %g to %g", text, low, high)
		return 0
	}
	return v + 0 // minus zero becomes zero
}

// whole reads a whole number between two bounds, both allowed.
func (r *row) whole(column string, low, high int) int {
	text, ok := r.need(column, "a whole number from %d to %d", low, high)
	if !ok {
		return 0
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < low || n > high {
		r.fail(column, "%s is not a whole number from %d to %d", excerpt(text), low, high)
		return 0
	}
	return n
}

// minutes reads a duration written in minutes, exact to the nanosecond, between two bounds; the text says which.
func (r *row) minutes(column string, low, high time.Duration, bounds string) time.Duration {
	text, ok := r.decimal(column, "minutes, %s", bounds)
	if !ok {
		return 0
	}
	// ParseDuration adds whole and part as integers, so that 0.35 is 21 s and not nearly so.
	d, err := time.ParseDuration(text + "m")
	if err != nil || d < low || d > high {
		r.fail(column, "%s must be %s, in minutes", text, bounds)
		return 0
	}
	return d
}

// thou reads a size or gauge that must be there.
func (r *row) thou(column string) measure.Size {
	text, ok := r.decimal(column, "thousandths of an inch, such as 13.5")
	if !ok {
		return 0
	}
	size, err := measure.ParseThou(text)
	if err != nil || size <= 0 || size > maxWireSize {
		r.fail(column, "%s must be more than 0 and at most 393.7 (10 mm), in thousandths of an inch", text)
		return 0
	}
	return size
}

// thouGiven reads a size that may be empty.
func (r *row) thouGiven(column string) measure.Size {
	if _, ok := r.given(column); !ok {
		return 0
	}
	return r.thou(column)
}

// scale reads a scale length in inches.
func (r *row) scale(column string) measure.Size {
	text, ok := r.decimal(column, "inches, such as 25.5")
	if !ok {
		return 0
	}
	scale, err := measure.ParseInches(text)
	if err != nil || scale < 5*measure.Inch || scale > 60*measure.Inch {
		r.fail(column, "%s must be from 5 to 60, in inches", text)
		return 0
	}
	return scale
}

// millimetres reads a length in millimetres between two bounds, both allowed; the text says which.
func (r *row) millimetres(column string, low, high measure.Size, bounds string) measure.Size {
	text, ok := r.decimal(column, "millimetres, %s", bounds)
	if !ok {
		return 0
	}
	size, err := measure.ParseMillimetres(text)
	if err != nil || size < low || size > high {
		r.fail(column, "%s must be %s, in millimetres", text, bounds)
		return 0
	}
	return size
}

// grams and kilograms read a mass of at least low (zero or one milligram).
func (r *row) grams(column string, low measure.Mass) measure.Mass {
	return r.mass(column, "grams", measure.ParseGrams, low)
}

func (r *row) kilograms(column string, low measure.Mass) measure.Mass {
	return r.mass(column, "kilograms", measure.ParseKilograms, low)
}

func (r *row) mass(column, unit string, parse func(string) (measure.Mass, error), low measure.Mass) measure.Mass {
	text, ok := r.decimal(column, "%s", unit)
	if !ok {
		return 0
	}
	m, err := parse(text)
	switch {
	case m < low && low == 0:
		r.fail(column, "%s must not be negative, in %s", text, unit)
	case m < low && err == nil:
		r.fail(column, "%s must be more than 0, in %s", text, unit)
	case err != nil || m > maxMass:
		r.fail(column, "%s must be at most 1000 kg, in %s", text, unit)
	default:
		return m
	}
	return 0
}

// amountGiven gives the text of an amount of money that may be left out.
func (r *row) amountGiven(column string) string {
	if _, ok := r.given(column); !ok {
		return ""
	}
	return r.amount(column)
}

// amount gives the text of an amount of money that must be there, to be read once the currency is known.
func (r *row) amount(column string) string {
	text, _ := r.decimal(column, "an amount such as 12.50")
	return strings.Clone(text)
}
