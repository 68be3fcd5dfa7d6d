package measure

import "testing"

// Each parser, given anything at all, must not panic; what it accepts prints and reads back as the same quantity.

func FuzzParseThou(f *testing.F)        { fuzzParser(f, ParseThou, Size.ThouText) }
func FuzzParseInches(f *testing.F)      { fuzzParser(f, ParseInches, Size.InchText) }
func FuzzParseMillimetres(f *testing.F) { fuzzParser(f, ParseMillimetres, Size.MillimetreText) }
func FuzzParseGrams(f *testing.F)       { fuzzParser(f, ParseGrams, Mass.GramText) }
func FuzzParseKilograms(f *testing.F)   { fuzzParser(f, ParseKilograms, Mass.KilogramText) }
func FuzzParsePounds(f *testing.F)      { fuzzParser(f, ParsePounds, Mass.PoundText) }

func fuzzParser[Q comparable](f *testing.F, parse func(string) (Q, error), text func(Q) string) {
	for _, seed := range []string{
		"13.5", "0", "-0", "-13.5", "+1", ".5", "5.", ".", "", "-", "-+1", "1e9", "0x1p-2", "1/3", "1_000", "NaN", "Inf",
		" 12.25 ", "0.0000005", "99999999999999999999", "0000000000000000000000000000000000000001", "13,5", "\x00", "١",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, in string) {
		q, err := parse(in)
		if err != nil {
			return
		}
		again, err := parse(text(q))
		if err != nil || again != q {
			t.Errorf("%q is %v, printed %q, which reads as %v, %v", in, q, text(q), again, err)
		}
	})
}
