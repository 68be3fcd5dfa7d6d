// Package money holds exact money: whole minor units (cents) of one ISO 4217 currency, and the rules by which an amount is
// split or rounded without losing a unit.
package money

import (
	"errors"
	"fmt"
	"math"
	"math/bits"
	"strings"

	"github.com/shopspring/decimal"
	"golang.org/x/text/currency"
)

// Minor is an amount in minor units (cents, pence) of the shop's one currency. A ledger adds them as plain integers.
type Minor int64

// Currency is an ISO 4217 code in capitals ("USD").
type Currency string

// ErrCurrency says that a text is not an ISO 4217 currency code.
var ErrCurrency = errors.New("not an ISO 4217 currency code such as USD")

// maxMinor bounds what Parse accepts, so that sums of a million of them stay far below overflow.
const maxMinor = 1_000_000_000_000

// ParseCurrency reads an ISO 4217 code in any case.
func ParseCurrency(text string) (Currency, error) {
	unit, err := currency.ParseISO(strings.TrimSpace(text))
	if err != nil {
		return "", fmt.Errorf("%q is %w", text, ErrCurrency)
	}
	return Currency(unit.String()), nil
}

// Decimals gives the digits after the decimal point of the currency's usual amounts (USD 2, JPY 0), from the Unicode CLDR
// data of golang.org/x/text.
func (c Currency) Decimals() int {
	unit, err := currency.ParseISO(string(c))
	if err != nil {
		return 2
	}
	scale, _ := currency.Standard.Rounding(unit)
	return scale
}

// Parse reads an amount written with a decimal point and no thousands separator ("12.50"). It fails for an amount with more
// decimals than the currency has, because rounding a cost that someone typed would hide a mistake.
func (c Currency) Parse(text string) (Minor, error) {
	t := strings.TrimSpace(text)
	if strings.ContainsAny(t, "eE") || len(t) > 40 {
		return 0, fmt.Errorf("%q is not a plain amount such as 12.50", text)
	}
	d, err := decimal.NewFromString(t)
	if err != nil {
		return 0, fmt.Errorf("%q is not a plain amount such as 12.50", text)
	}
	minor := d.Shift(int32(c.Decimals()))
	if !minor.IsInteger() {
		return 0, fmt.Errorf("%q has more than the %d decimals of %s", text, c.Decimals(), c)
	}
	if minor.Abs().GreaterThan(decimal.NewFromInt(maxMinor)) {
		return 0, fmt.Errorf("%q is too large an amount", text)
	}
	return Minor(minor.IntPart()), nil
}

// Text prints an amount with the currency's decimals and no symbol ("12.50"); Parse gives the same amount back.
func (c Currency) Text(m Minor) string {
	return decimal.New(int64(m), -int32(c.Decimals())).StringFixed(int32(c.Decimals()))
}

// Float gives the amount in major units, for a typed spreadsheet cell or a JSON number.
func (c Currency) Float(m Minor) float64 {
	return decimal.New(int64(m), -int32(c.Decimals())).InexactFloat64()
}

// Share gives cost × part ÷ whole rounded to the nearest minor unit, half away from zero, exactly for every product. It fails
// to make sense for a whole of zero, for which it gives zero; an amount beyond an int64 is cut to the greatest one.
func Share(cost Minor, part, whole int64) Minor {
	if whole == 0 {
		return 0
	}
	negative := (cost < 0) != (part < 0) != (whole < 0)
	divisor := magnitude(whole)
	high, low := bits.Mul64(magnitude(int64(cost)), magnitude(part))
	quotient := uint64(math.MaxInt64)
	if high < divisor { // else the quotient has more than 64 bits
		var rest uint64
		quotient, rest = bits.Div64(high, low, divisor)
		if rest >= divisor-rest {
			quotient++
		}
	}
	share := Minor(min(quotient, math.MaxInt64))
	if negative {
		return -share
	}
	return share
}

// magnitude gives |n|, also of the least int64.
func magnitude(n int64) uint64 {
	if n < 0 {
		return -uint64(n)
	}
	return uint64(n)
}

// Remaining gives the cost that stays on a lot of cost and size whole when left of it is left. The cost of a draw is the
// difference of two Remaining values (cumulative rounding): whatever the split, all draws together cost exactly cost and
// an empty lot carries zero.
func Remaining(cost Minor, left, whole int64) Minor { return Share(cost, left, whole) }
