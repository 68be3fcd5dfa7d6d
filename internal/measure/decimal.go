package measure

import (
	"errors"
	"fmt"
	"math/big"
	"strings"
)

// ErrNotANumber says that a text is not a plain decimal number.
var ErrNotANumber = errors.New("not a plain decimal number such as 13.5")

// maxDigits bounds a decimal text; longer ones are refused rather than read slowly.
const maxDigits = 40

// parseScaled reads a plain decimal number and gives number × scale, rounded to the nearest integer, half away from zero.
func parseScaled(text string, scale int64) (int64, error) { return parseRatio(text, scale, 1) }

// parseRatio reads a plain decimal number and gives number × num ÷ den, rounded to the nearest integer, half away from
// zero. No exponent, no thousands separator, no blank inside; big.Rat keeps it exact until that one rounding.
func parseRatio(text string, num, den int64) (int64, error) {
	t := strings.TrimSpace(text)
	if !plainDecimal(t) {
		return 0, fmt.Errorf("%q is %w", text, ErrNotANumber)
	}
	r, ok := new(big.Rat).SetString(t)
	if !ok {
		return 0, fmt.Errorf("%q is %w", text, ErrNotANumber)
	}
	r.Mul(r, big.NewRat(num, den))
	n := roundHalfAway(r)
	if !n.IsInt64() {
		return 0, fmt.Errorf("%q is too large", text)
	}
	return n.Int64(), nil
}

// plainDecimal says whether t is an optional sign, digits, and at most one decimal point with a digit on some side of it.
func plainDecimal(t string) bool {
	if len(t) > maxDigits {
		return false
	}
	t = strings.TrimPrefix(strings.TrimPrefix(t, "-"), "+")
	digits, points := 0, 0
	for _, c := range t {
		switch {
		case c >= '0' && c <= '9':
			digits++
		case c == '.':
			points++
		default:
			return false
		}
	}
	return digits > 0 && points <= 1
}

func roundHalfAway(r *big.Rat) *big.Int {
	half := big.NewRat(1, 2)
	if r.Sign() < 0 {
		half.Neg(half)
	}
	r = new(big.Rat).Add(r, half)
	return new(big.Int).Quo(r.Num(), r.Denom()) // Quo cuts towards zero, which after ±½ rounds half away from zero
}

// decimalText prints n ÷ unit with at most places decimals, exactly where that suffices, without trailing zeros.
func decimalText(n, unit int64, places int) string {
	return trimZeros(big.NewRat(n, unit).FloatString(places))
}

func trimZeros(t string) string {
	if !strings.Contains(t, ".") {
		return t
	}
	t = strings.TrimSuffix(strings.TrimRight(t, "0"), ".")
	if t == "-0" {
		return "0"
	}
	return t
}
