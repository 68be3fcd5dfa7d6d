package measure

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// 1 lb = 453.592 37 g exactly (international yard and pound agreement of 1959; NIST SP 811, appendix B, from memory), so a
// hundred pounds is the least whole number of pounds that is a whole number of milligrams.
func TestMassUnitsAreExact(t *testing.T) {
	hundred, err := ParsePounds("100")
	if err != nil || hundred != 45_359_237 {
		t.Errorf("100 lb is %d mg, %v; want 45359237", hundred, err)
	}
	if Gram != 1_000 || Kilogram != 1_000_000 || Milligram != 1 {
		t.Errorf("units are %d, %d, %d mg", Milligram, Gram, Kilogram)
	}
	if got := Mass(45_359_237).Pounds(); math.Abs(got-100) > 1e-12 {
		t.Errorf("45359237 mg is %v lb, want 100", got)
	}
}

func TestParseMasses(t *testing.T) {
	tests := []struct {
		name  string
		parse func(string) (Mass, error)
		text  string
		want  Mass
		fails bool
	}{
		{name: "grams", parse: ParseGrams, text: "453.592", want: 453_592},
		{name: "half a milligram rounds away from zero", parse: ParseGrams, text: "0.0005", want: 1},
		{name: "below half rounds down", parse: ParseGrams, text: "0.00049", want: 0},
		{name: "negative half", parse: ParseGrams, text: "-0.0005", want: -1},
		{name: "kilograms", parse: ParseKilograms, text: "2.5", want: 2_500_000},
		{name: "one pound rounds down", parse: ParsePounds, text: "1", want: 453_592},
		{name: "two pounds round up", parse: ParsePounds, text: "2", want: 907_185}, // 907 184.74
		{name: "fifty pounds sit on the half", parse: ParsePounds, text: "50", want: 22_679_619},
		{name: "the largest", parse: ParseKilograms, text: "1000000", want: maxMass},
		{name: "beyond the largest", parse: ParseKilograms, text: "1000000.000001", fails: true},
		{name: "beyond int64", parse: ParseKilograms, text: "99999999999999999999999", fails: true},
		{name: "comma", parse: ParseGrams, text: "1,5", fails: true},
		{name: "exponent", parse: ParsePounds, text: "1e2", fails: true},
		{name: "unit", parse: ParseGrams, text: "5g", fails: true},
		{name: "empty", parse: ParseGrams, text: "", fails: true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := tt.parse(tt.text)
			if (err != nil) != tt.fails {
				t.Fatalf("error %v, want one: %v", err, tt.fails)
			}
			if got != tt.want {
				t.Errorf("got %d mg, want %d mg", got, tt.want)
			}
		})
	}
}

func TestMassText(t *testing.T) {
	tests := []struct {
		name       string
		mass       Mass
		gram, kilo string
	}{
		{"half a kilogram", 500_000, "500", "0.5"},
		{"one milligram", 1, "0.001", "0.000001"},
		{"zero", 0, "0", "0"},
		{"a difference below zero", -1_250, "-1.25", "-0.00125"},
		{"hundreds keep their zeros", 100_000_000, "100000", "100"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.mass.GramText(); got != tt.gram {
				t.Errorf("grams %q, want %q", got, tt.gram)
			}
			if got := tt.mass.KilogramText(); got != tt.kilo {
				t.Errorf("kilograms %q, want %q", got, tt.kilo)
			}
		})
	}
	if got := Mass(1_250).String(); got != "1.25 g" {
		t.Errorf("String gave %q", got)
	}
}

func TestMassSurvivesTextAndNumber(t *testing.T) {
	forms := []struct {
		name  string
		text  func(Mass) string
		parse func(string) (Mass, error)
	}{
		{"grams", Mass.GramText, ParseGrams},
		{"kilograms", Mass.KilogramText, ParseKilograms},
		{"pounds", Mass.PoundText, ParsePounds},
	}
	mass := rapid.Custom(func(t *rapid.T) Mass {
		return Mass(rapid.Int64Range(-int64(maxMass), int64(maxMass)).Draw(t, "mg"))
	})
	for _, f := range forms {
		t.Run(f.name, rapid.MakeCheck(func(t *rapid.T) {
			m := mass.Draw(t, "mass")
			if got, err := f.parse(f.text(m)); err != nil || got != m {
				t.Errorf("%d mg printed %q and read back as %d, %v", m, f.text(m), got, err)
			}
		}))
	}
	t.Run("number of grams", rapid.MakeCheck(func(t *rapid.T) {
		m := mass.Draw(t, "mass")
		if got, err := MassFromGrams(m.Grams()); err != nil || got != m {
			t.Errorf("%d mg through %v g gave %d, %v", m, m.Grams(), got, err)
		}
		if got := m.Kilograms() * 1000; math.Abs(got-m.Grams()) > 1e-9*math.Abs(got) {
			t.Errorf("%v kg and %v g differ", m.Kilograms(), m.Grams())
		}
	}))
}

func TestMassFromGramsRefuses(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e12, -1e12} {
		if got, err := MassFromGrams(v); err == nil {
			t.Errorf("%v g was taken as %d mg", v, got)
		}
	}
}

func TestMassEachTimes(t *testing.T) {
	tests := []struct {
		name string
		each MassEach // ng
		n    int64
		want Mass // mg
	}{
		{"exactly half rounds up", 500_000, 1, 1},
		{"just below half rounds down", 499_999, 1, 0},
		{"two halves are one", 500_000, 2, 1},
		{"the rounding is of the product", 1_499_999, 2, 3},
		{"none", 1_499_999, 0, 0},
		{"a run of a day", 3_141_592_653, 240, 753_982},
		{"a negative half rounds up", 500_000, -1, 0},
		{"below a negative half rounds down", 500_001, -1, -1},
		{"a product near the end of int64", math.MaxInt64, 1_000_000, math.MaxInt64},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.each.Times(tt.n); got != tt.want {
				t.Errorf("got %d mg, want %d mg", got, tt.want)
			}
		})
	}
}

// timesOracle rounds each·n/10⁶ half up with exact fractions: floor(x + ½).
func timesOracle(each MassEach, n int64) *big.Int {
	x := new(big.Rat).SetFrac(new(big.Int).Mul(big.NewInt(int64(each)), big.NewInt(n)), big.NewInt(1_000_000))
	x.Add(x, big.NewRat(1, 2))
	floor, _ := new(big.Int).DivMod(x.Num(), x.Denom(), new(big.Int)) // Euclidean: rounds down for a positive divisor
	return floor
}

func TestMassEachTimesAgreesWithFractions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		each := MassEach(rapid.Int64().Draw(t, "ng"))
		n := rapid.Int64().Draw(t, "strings")
		want := timesOracle(each, n)
		if !want.IsInt64() {
			t.Skip("beyond a Mass")
		}
		if got := each.Times(n); int64(got) != want.Int64() {
			t.Errorf("%d ng × %d gave %d mg, want %d", each, n, got, want)
		}
	})
	// Masses and runs as large as a factory could have, where int64 products of ng would overflow.
	rapid.Check(t, func(t *rapid.T) {
		each := MassEach(rapid.Int64Range(0, 1_000_000_000_000_000).Draw(t, "ng"))
		n := rapid.Int64Range(0, 1_000_000_000).Draw(t, "strings")
		if got, want := each.Times(n), timesOracle(each, n); int64(got) != want.Int64() {
			t.Errorf("%d ng × %d gave %d mg, want %d", each, n, got, want)
		}
	})
}

func TestMassEachFromKilograms(t *testing.T) {
	tests := []struct {
		name string
		kg   float64
		want MassEach
	}{
		{"a gram", 0.001, 1_000_000_000},
		{"half a nanogram rounds away from zero", 0.5e-12, 1},
		{"less rounds to nothing", 0.49e-12, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := MassEachFromKilograms(tt.kg); got != tt.want {
				t.Errorf("got %d ng, want %d ng", got, tt.want)
			}
		})
	}
	if got := MassEach(1_500_000).Milligrams(); got != 1.5 {
		t.Errorf("1500000 ng is %v mg, want 1.5", got)
	}
}
