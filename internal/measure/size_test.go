package measure

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The international yard and pound agreement of 1959 (NIST SP 811, appendix B, from memory): 1 in = 25.4 mm exactly.
func TestSizeUnitsAreExact(t *testing.T) {
	tests := []struct {
		name string
		got  Size
		want int64 // nm
	}{
		{"inch", Inch, 25_400_000},
		{"thou", Thou, 25_400},
		{"thousand thou make an inch", 1000 * Thou, int64(Inch)},
		{"millimetre", Millimetre, 1_000_000},
		{"micrometre", Micrometre, 1_000},
		{"nanometre", Nanometre, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if int64(tt.got) != tt.want {
				t.Errorf("got %d nm, want %d nm", tt.got, tt.want)
			}
		})
	}
}

func TestParseSizes(t *testing.T) {
	tests := []struct {
		name  string
		parse func(string) (Size, error)
		text  string
		want  Size
		fails bool
	}{
		{name: "half thou", parse: ParseThou, text: "13.5", want: 342_900},
		{name: "whole thou", parse: ParseThou, text: "10", want: 254_000},
		{name: "leading zeros", parse: ParseThou, text: "010", want: 254_000},
		{name: "blanks round it", parse: ParseThou, text: " 13.5\t", want: 342_900},
		{name: "no digit before the point", parse: ParseThou, text: ".5", want: 12_700},
		{name: "no digit after the point", parse: ParseThou, text: "13.", want: 330_200},
		{name: "plus sign", parse: ParseThou, text: "+13.5", want: 342_900},
		{name: "minus sign", parse: ParseThou, text: "-13.5", want: -342_900},
		{name: "half a nanometre rounds away from zero", parse: ParseMillimetres, text: "0.0000005", want: 1},
		{name: "and below zero too", parse: ParseMillimetres, text: "-0.0000005", want: -1},
		{name: "less than half rounds to zero", parse: ParseMillimetres, text: "0.00000049", want: 0},
		{name: "inches", parse: ParseInches, text: "25.5", want: 647_700_000},
		{name: "millimetres", parse: ParseMillimetres, text: "0.343", want: 343_000},
		{name: "the largest", parse: ParseMillimetres, text: "100000", want: maxSize},
		{name: "beyond the largest", parse: ParseMillimetres, text: "100000.000001", fails: true},
		{name: "beyond the smallest", parse: ParseMillimetres, text: "-100000.000001", fails: true},
		{name: "beyond int64", parse: ParseInches, text: "9999999999999999999999999999", fails: true},
		{name: "empty", parse: ParseThou, text: "", fails: true},
		{name: "point alone", parse: ParseThou, text: ".", fails: true},
		{name: "sign alone", parse: ParseThou, text: "-", fails: true},
		{name: "two signs", parse: ParseThou, text: "-+5", fails: true},
		{name: "two points", parse: ParseThou, text: "1.2.3", fails: true},
		{name: "comma", parse: ParseThou, text: "13,5", fails: true},
		{name: "exponent", parse: ParseThou, text: "1e3", fails: true},
		{name: "fraction", parse: ParseThou, text: "27/2", fails: true},
		{name: "hexadecimal", parse: ParseThou, text: "0x10", fails: true},
		{name: "digit groups", parse: ParseThou, text: "1_000", fails: true},
		{name: "not a number", parse: ParseThou, text: "NaN", fails: true},
		{name: "unit after it", parse: ParseThou, text: "13.5 thou", fails: true},
		{name: "foreign digits", parse: ParseThou, text: "١٣", fails: true},
		{name: "too many digits", parse: ParseThou, text: "0.00000000000000000000000000000000000000001", fails: true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := tt.parse(tt.text)
			if (err != nil) != tt.fails {
				t.Fatalf("error %v, want one: %v", err, tt.fails)
			}
			if got != tt.want {
				t.Errorf("got %d nm, want %d nm", got, tt.want)
			}
		})
	}
}

func TestSizeText(t *testing.T) {
	tests := []struct {
		name                   string
		size                   Size
		thou, inch, millimetre string
	}{
		{"half thou", 342_900, "13.5", "0.0135", "0.3429"},
		{"whole thou", 254_000, "10", "0.01", "0.254"},
		{"zero", 0, "0", "0", "0"},
		{"a quarter millimetre", 250_000, "9.84252", "0.00984252", "0.25"},
		{"scale length", 647_700_000, "25500", "25.5", "647.7"},
		{"one nanometre", 1, "0.00004", "0.00000004", "0.000001"},
		{"below zero", -342_900, "-13.5", "-0.0135", "-0.3429"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.size.ThouText(); got != tt.thou {
				t.Errorf("thou %q, want %q", got, tt.thou)
			}
			if got := tt.size.InchText(); got != tt.inch {
				t.Errorf("inch %q, want %q", got, tt.inch)
			}
			if got := tt.size.MillimetreText(); got != tt.millimetre {
				t.Errorf("millimetre %q, want %q", got, tt.millimetre)
			}
		})
	}
	if got := Size(342_900).String(); got != "13.5 thou" {
		t.Errorf("String gave %q", got)
	}
}

// Every half and tenth of a thou from 1 to 500 is a whole number of nanometres and survives text and float64.
func TestHalfAndTenthThouAreExact(t *testing.T) {
	for _, step := range []Size{Thou / 2, Thou / 10} {
		for size := Thou; size <= 500*Thou; size += step {
			if got, err := ParseThou(size.ThouText()); err != nil || got != size {
				t.Fatalf("%d nm printed %q and read back as %d, %v", size, size.ThouText(), got, err)
			}
			if got, err := SizeFromThou(size.Thou()); err != nil || got != size {
				t.Fatalf("%d nm through a number of thou gave %d, %v", size, got, err)
			}
			if tenths := int64(size / (Thou / 10)); size != Size(tenths)*Thou/10 {
				t.Fatalf("%d nm is not a whole number of tenths", size)
			}
		}
	}
}

func TestSizeSurvivesTextAndNumber(t *testing.T) {
	forms := []struct {
		name   string
		text   func(Size) string
		parse  func(string) (Size, error)
		number func(Size) float64
		from   func(float64) (Size, error)
	}{
		{"thou", Size.ThouText, ParseThou, Size.Thou, SizeFromThou},
		{"inches", Size.InchText, ParseInches, Size.Inches, SizeFromInches},
		{"millimetres", Size.MillimetreText, ParseMillimetres, Size.Millimetres, SizeFromMillimetres},
	}
	for _, f := range forms {
		t.Run(f.name, rapid.MakeCheck(func(t *rapid.T) {
			size := Size(rapid.Int64Range(-int64(maxSize), int64(maxSize)).Draw(t, "nm"))
			if got, err := f.parse(f.text(size)); err != nil || got != size {
				t.Errorf("%d nm printed %q and read back as %d, %v", size, f.text(size), got, err)
			}
			if got, err := f.from(f.number(size)); err != nil || got != size {
				t.Errorf("%d nm through %v gave %d, %v", size, f.number(size), got, err)
			}
		}))
	}
}

func TestSizeFromNumberRefuses(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e300} {
		for name, from := range map[string]func(float64) (Size, error){
			"thou": SizeFromThou, "inches": SizeFromInches, "millimetres": SizeFromMillimetres,
		} {
			if got, err := from(v); err == nil {
				t.Errorf("%v %s was taken as %d nm", v, name, got)
			}
		}
	}
}

func TestSizeMetres(t *testing.T) {
	if got, want := float64(Inch.Metres()), 0.0254; math.Abs(got-want) > 1e-15 {
		t.Errorf("an inch is %v m, want %v", got, want)
	}
	if got, want := Inch.Metres().Millimetres(), 25.4; math.Abs(got-want) > 1e-12 {
		t.Errorf("an inch is %v mm, want %v", got, want)
	}
}
