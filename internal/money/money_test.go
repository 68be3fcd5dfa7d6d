package money

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

func TestParseCurrency(t *testing.T) {
	tests := []struct {
		name, text string
		want       Currency
		decimals   int
		fails      bool
	}{
		// Minor units as ISO 4217 lists them (from memory).
		{name: "dollar", text: "USD", want: "USD", decimals: 2},
		{name: "small letters and blanks", text: " eur ", want: "EUR", decimals: 2},
		{name: "no minor unit", text: "JPY", want: "JPY", decimals: 0},
		{name: "thousandths", text: "KWD", want: "KWD", decimals: 3},
		{name: "franc, whatever its coins", text: "CHF", want: "CHF", decimals: 2},
		{name: "unknown", text: "QQQ", fails: true},
		{name: "a name", text: "dollar", fails: true},
		{name: "a sign", text: "$", fails: true},
		{name: "empty", text: "", fails: true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := ParseCurrency(tt.text)
			if (err != nil) != tt.fails || got != tt.want {
				t.Fatalf("got %q, %v; want %q, an error: %v", got, err, tt.want, tt.fails)
			}
			if err == nil && got.Decimals() != tt.decimals {
				t.Errorf("%d decimals, want %d", got.Decimals(), tt.decimals)
			}
		})
	}
}

func TestCurrencyParse(t *testing.T) {
	tests := []struct {
		name     string
		currency Currency
		text     string
		want     Minor
		fails    bool
	}{
		{name: "cents", currency: "USD", text: "12.50", want: 1250},
		{name: "no decimals", currency: "USD", text: "12", want: 1200},
		{name: "one decimal", currency: "USD", text: "12.5", want: 1250},
		{name: "more decimals that are zero", currency: "USD", text: "12.5000", want: 1250},
		{name: "below zero", currency: "USD", text: "-0.01", want: -1},
		{name: "a third decimal", currency: "USD", text: "12.505", fails: true},
		{name: "yen", currency: "JPY", text: "1250", want: 1250},
		{name: "yen have no decimals", currency: "JPY", text: "12.5", fails: true},
		{name: "dinar", currency: "KWD", text: "1.234", want: 1234},
		{name: "thousands separator", currency: "USD", text: "1,250.00", fails: true},
		{name: "digit groups", currency: "USD", text: "1_250", fails: true},
		{name: "sign of the currency", currency: "USD", text: "$12", fails: true},
		{name: "exponent", currency: "USD", text: "1e2", fails: true},
		{name: "empty", currency: "USD", text: "", fails: true},
		{name: "point alone", currency: "USD", text: ".", fails: true},
		{name: "sign alone", currency: "USD", text: "-", fails: true},
		{name: "two signs", currency: "USD", text: "+-1", fails: true},
		{name: "sign inside", currency: "USD", text: "1.-5", fails: true},
		{name: "two points", currency: "USD", text: "1.2.3", fails: true},
		{name: "not a number", currency: "USD", text: "NaN", fails: true},
		{name: "the largest", currency: "USD", text: "10000000000.00", want: maxMinor},
		{name: "too large", currency: "USD", text: "10000000000.01", fails: true},
		{name: "far too large", currency: "USD", text: "99999999999999999999999999999999", fails: true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := tt.currency.Parse(tt.text)
			if (err != nil) != tt.fails || got != tt.want {
				t.Errorf("got %d, %v; want %d, an error: %v", got, err, tt.want, tt.fails)
			}
		})
	}
}

func TestCurrencyText(t *testing.T) {
	tests := []struct {
		name     string
		currency Currency
		minor    Minor
		text     string
		number   float64
	}{
		{"cents", "USD", 1250, "12.50", 12.5},
		{"one cent", "USD", 1, "0.01", 0.01},
		{"below zero", "USD", -5, "-0.05", -0.05},
		{"zero", "USD", 0, "0.00", 0},
		{"yen", "JPY", 1250, "1250", 1250},
		{"dinar", "KWD", 1234, "1.234", 1.234},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.currency.Text(tt.minor); got != tt.text {
				t.Errorf("text %q, want %q", got, tt.text)
			}
			if got := tt.currency.Float(tt.minor); got != tt.number {
				t.Errorf("number %v, want %v", got, tt.number)
			}
		})
	}
}

func TestAmountSurvivesText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SampledFrom([]Currency{"USD", "EUR", "JPY", "KWD"}).Draw(t, "currency")
		m := Minor(rapid.Int64Range(-maxMinor, maxMinor).Draw(t, "minor"))
		if got, err := c.Parse(c.Text(m)); err != nil || got != m {
			t.Errorf("%d printed %q and read back as %d, %v", m, c.Text(m), got, err)
		}
	})
}

func FuzzParseCurrency(f *testing.F) {
	for _, seed := range []string{"USD", "eur", " JPY ", "", "US", "USDX", "ÜSD", "X\x00X", "123", "$"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, in string) {
		c, err := ParseCurrency(in)
		if err != nil {
			return
		}
		if again, err := ParseCurrency(string(c)); err != nil || again != c || len(c) != 3 {
			t.Errorf("%q is %q, which reads as %q, %v", in, c, again, err)
		}
	})
}

func FuzzCurrencyParse(f *testing.F) {
	for _, seed := range []string{
		"12.50", "-0.01", "0", "-0", ".5", "5.", ".", "", "+", "+-1", "1.-5", "1.+5", "1e9", "1E-400", "0x10", "1_000", "NaN",
		"Inf", "12.505", "99999999999999999999999999", "0.000000000000000000000000000000000001", "\x00", "1,000",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, in string) {
		for _, c := range []Currency{"USD", "JPY", "KWD"} {
			m, err := c.Parse(in)
			if err != nil {
				continue
			}
			if again, err := c.Parse(c.Text(m)); err != nil || again != m {
				t.Errorf("%q %s is %d, printed %q, which reads as %d, %v", in, c, m, c.Text(m), again, err)
			}
		}
	})
}

func TestShare(t *testing.T) {
	tests := []struct {
		name        string
		cost        Minor
		part, whole int64
		want        Minor
	}{
		{"a third rounds down", 1000, 1, 3, 333},
		{"two thirds round up", 1000, 2, 3, 667},
		{"half a cent rounds away from zero", 1, 1, 2, 1},
		{"and below zero too", -1, 1, 2, -1},
		{"all of it", 12345, 453592, 453592, 12345},
		{"none of it", 12345, 0, 453592, 0},
		{"of nothing", 12345, 5, 0, 0},
		{"products beyond int64", 1_000_000_000_000, 999_999_999_999, 1_000_000_000_000, 999_999_999_999},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := Share(tt.cost, tt.part, tt.whole); got != tt.want {
				t.Errorf("got %d, want %d", got, tt.want)
			}
		})
	}
}

func TestShareIsTheNearestUnit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cost := rapid.Int64Range(-maxMinor, maxMinor).Draw(t, "cost")
		whole := rapid.Int64Range(1, 1_000_000_000_000).Draw(t, "whole")
		part := rapid.Int64Range(0, whole).Draw(t, "part")
		got := int64(Share(Minor(cost), part, whole))
		exact := new(big.Rat).SetFrac(new(big.Int).Mul(big.NewInt(cost), big.NewInt(part)), big.NewInt(whole))
		off := new(big.Rat).Sub(exact, new(big.Rat).SetInt64(got))
		if off.Abs(off).Cmp(big.NewRat(1, 2)) > 0 {
			t.Errorf("%d × %d/%d gave %d, which is %s off", cost, part, whole, got, off.FloatString(3))
		}
	})
}
