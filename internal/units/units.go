// Package units puts quantities into the units that a shop has chosen, as people read them: grouped, with as many decimals as
// the trade reads, the same number for each value of a column. The other way, it reads what people type in these units, or in
// another one that they name.
package units

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Units is a shop's choice. The zero value is inches, grams, newtons, UTC.
type Units struct {
	Metric bool // sizes and lengths in mm and m, not in thousandths of an inch, inches and feet
	Pounds bool // masses in ounces and pounds, not in grams and kilograms
	Pull   Pull
	Zone   *time.Location // of the shop; nil is UTC
}

// Pull is the unit of tension.
type Pull string

// The units of tension; empty is newtons.
const (
	Newtons        Pull = "N"
	PoundsForce    Pull = "lbf"
	KilogramsForce Pull = "kgf"
)

// The names a configuration uses.
var (
	Lengths  = []string{"inch", "mm"}
	Masses   = []string{"g", "lb"}
	Tensions = []string{"N", "lbf", "kgf"}
)

// New gives the units of a configuration: length inch or mm, mass g or lb, tension N, lbf or kgf.
func New(length, mass, tension string, zone *time.Location) (Units, error) {
	for _, choice := range []struct {
		setting, value string
		known          []string
	}{{"length", length, Lengths}, {"mass", mass, Masses}, {"tension", tension, Tensions}} {
		if !slices.Contains(choice.known, choice.value) {
			return Units{}, fmt.Errorf("%s %q is not one of %s", choice.setting, choice.value, strings.Join(choice.known, ", "))
		}
	}
	return Units{Metric: length == "mm", Pounds: mass == "lb", Pull: Pull(tension), Zone: zone}, nil
}

// Quantity is a number with its unit, as text. It prints as both with a space between that does not break.
type Quantity struct{ Number, Unit string }

// The spaces that keep a quantity on one line.
const (
	noBreak     = "\u00a0"
	narrowBreak = "\u202f"
)

// String joins number and unit.
func (q Quantity) String() string {
	if q.Unit == "" {
		return q.Number
	}
	return q.Number + noBreak + q.Unit
}

// SizeUnit is that of gauges and wires.
func (u Units) SizeUnit() string { return pick(u.Metric, "mm", "thou") }

// Size prints a gauge or the size of a wire: 0.343 mm, 13.5 thou, 11.25 thou.
func (u Units) Size(s measure.Size) Quantity {
	if u.Metric {
		return Quantity{fixed(s.Millimetres(), 3, 3), "mm"}
	}
	return Quantity{fixed(s.Thou(), 1, 2), "thou"}
}

// LengthUnit is that of scale lengths and cuts.
func (u Units) LengthUnit() string { return pick(u.Metric, "mm", "in") }

// Scale prints a scale length: 647.7 mm, 25.50 in.
func (u Units) Scale(s measure.Size) Quantity { return u.Cut(s.Metres()) }

// Cut prints a length that someone measures with a rule: 823.5 mm, 32.42 in.
func (u Units) Cut(l measure.Length) Quantity {
	if u.Metric {
		return Quantity{fixed(l.Millimetres(), 1, 1), "mm"}
	}
	return Quantity{fixed(l.Thou()/1000, 2, 2), "in"}
}

// Run prints a length of wire: 12.35 m, 40.52 ft.
func (u Units) Run(l measure.Length) Quantity {
	if u.Metric {
		return Quantity{fixed(float64(l), 2, 2), "m"}
	}
	return Quantity{fixed(l.Thou()/12000, 2, 2), "ft"}
}

// MassUnit is that of what a spool holds and a batch draws.
func (u Units) MassUnit() string { return pick(u.Pounds, "oz", "g") }

// Mass prints what a spool holds or a batch draws: 1 234.5 g, 43.55 oz.
func (u Units) Mass(m measure.Mass) Quantity {
	if u.Pounds {
		return Quantity{fixed(m.Pounds()*16, 2, 2), "oz"}
	}
	return Quantity{fixed(m.Grams(), 1, 1), "g"}
}

// MassExact prints a mass to the milligram, for books that must tie out. In pounds that takes six decimals.
func (u Units) MassExact(m measure.Mass) Quantity {
	if u.Pounds {
		return Quantity{fixed(m.Pounds(), 6, 6), "lb"}
	}
	return Quantity{fixed(m.Grams(), 3, 3), "g"}
}

// BulkUnit is that of what is bought and used in a month.
func (u Units) BulkUnit() string { return pick(u.Pounds, "lb", "kg") }

// Bulk prints what is bought or used in a month: 12.50 kg, 27.56 lb.
func (u Units) Bulk(m measure.Mass) Quantity {
	if u.Pounds {
		return Quantity{fixed(m.Pounds(), 2, 2), "lb"}
	}
	return Quantity{fixed(m.Kilograms(), 2, 2), "kg"}
}

// TensionUnit is N, lbf or kgf.
func (u Units) TensionUnit() string {
	if u.Pull == "" {
		return string(Newtons)
	}
	return string(u.Pull)
}

// Tension prints the pull of a string: 71.2 N, 16.01 lbf, 7.26 kgf.
func (u Units) Tension(f measure.Force) Quantity { return Quantity{u.tension(f), u.TensionUnit()} }

func (u Units) tension(f measure.Force) string {
	switch u.Pull {
	case PoundsForce:
		return fixed(f.PoundsForce(), 2, 2)
	case KilogramsForce:
		return fixed(float64(f)/standardGravity, 2, 2)
	}
	return fixed(float64(f), 1, 1)
}

// standardGravity is exact by definition, in m/s² (3rd General Conference on Weights and Measures, 1901, from memory).
const standardGravity = 9.80665

// TensionValue gives a pull as a number in the shop's unit, for an axis.
func (u Units) TensionValue(f measure.Force) float64 {
	switch u.Pull {
	case PoundsForce:
		return f.PoundsForce()
	case KilogramsForce:
		return float64(f) / standardGravity
	}
	return float64(f)
}

// BulkValue gives a mass as a number in the unit of Bulk, for an axis.
func (u Units) BulkValue(m measure.Mass) float64 {
	if u.Pounds {
		return m.Pounds()
	}
	return m.Kilograms()
}

// Money prints an amount with its currency: 1 234.50 USD.
func (u Units) Money(c money.Currency, amount money.Minor) Quantity {
	return Quantity{group(c.Text(amount)), string(c)}
}

// Count prints a whole number, grouped.
func (u Units) Count(n int) string { return group(strconv.Itoa(n)) }

// Percent prints a share, of which 1 is the whole, with one decimal: 12.5 %.
func (u Units) Percent(share float64) Quantity { return Quantity{fixed(100*share, 1, 1), "%"} }

// Date prints a day with its weekday: Mon 2 Mar 2026. No day prints nothing.
func (u Units) Date(d calendar.Date) string { return day(d, "Mon 2 Jan 2006") }

// LongDate prints a day in full: Monday 2 March 2026.
func (u Units) LongDate(d calendar.Date) string { return day(d, "Monday 2 January 2006") }

// ShortDate prints a day of the running year: Mon 2 Mar.
func (u Units) ShortDate(d calendar.Date) string { return day(d, "Mon 2 Jan") }

func day(d calendar.Date, layout string) string {
	if d.IsZero() {
		return ""
	}
	return d.Time().Format(layout)
}

// Moment prints a point in time in the shop's zone: 2 Mar 2026, 06:30. No time prints nothing.
func (u Units) Moment(t time.Time) string { return u.at(t, "2 Jan 2006, 15:04") }

// Clock prints the time of day in the shop's zone: 06:30.
func (u Units) Clock(t time.Time) string { return u.at(t, "15:04") }

func (u Units) at(t time.Time, layout string) string {
	if t.IsZero() {
		return ""
	}
	zone := u.Zone
	if zone == nil {
		zone = time.UTC
	}
	return t.In(zone).Format(layout)
}

// Duration prints working time with tenths of minutes where there are any: 1 h 5.5 min.
func (u Units) Duration(d time.Duration) string {
	tenths := d.Round(6*time.Second) / (6 * time.Second)
	minutes := fmt.Sprintf("%d%smin", tenths%600/10, noBreak)
	if tenths%10 != 0 {
		minutes = fmt.Sprintf("%d.%d%smin", tenths%600/10, tenths%10, noBreak)
	}
	if hours := tenths / 600; hours > 0 {
		return fmt.Sprintf("%d%sh%s%s", hours, noBreak, noBreak, minutes)
	}
	return minutes
}

// fixed prints v with least decimals, and with up to most where fewer would change it.
func fixed(v float64, least, most int) string {
	text := strconv.FormatFloat(v, 'f', most, 64)
	for n := most; n > least && strings.HasSuffix(text, "0"); n-- {
		text = text[:len(text)-1]
	}
	if math.Trunc(v) == 0 && strings.Trim(text, "-0.") == "" { // no minus before nothing
		text = strings.TrimPrefix(text, "-")
	}
	return group(text)
}

// group puts a narrow space between thousands, before the decimal point only.
func group(text string) string {
	sign := ""
	if strings.HasPrefix(text, "-") {
		sign, text = "\u2212", text[1:]
	}
	whole, part, broken := strings.Cut(text, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + narrowBreak + whole[i:]
	}
	if broken {
		whole += "." + part
	}
	return sign + whole
}

func pick(second bool, yes, no string) string {
	if second {
		return yes
	}
	return no
}
