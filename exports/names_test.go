package exports

import (
	"strings"
	"testing"
	"unicode/utf16"

	"pgregory.net/rapid"
)

func TestSheetNames(t *testing.T) {
	long := strings.Repeat("x", 40)
	tests := []struct {
		name  string
		codes []string
		want  []string
	}{
		{"as it is", []string{"B-1"}, []string{"B-1"}},
		{"refused characters", []string{`a[]:*?/\b`}, []string{"a-------b"}},
		{"quotes at the ends", []string{"'B's'"}, []string{"B's"}},
		{"same without case", []string{"b-1", "B-1", "b-1"}, []string{"b-1", "B-1~2", "b-1~3"}},
		{"a suffix already taken", []string{"b", "b~2", "b"}, []string{"b", "b~2", "b~3"}},
		{"other sheets", []string{"day", "DRAWS", "History"}, []string{"day~2", "DRAWS~2", "History~2"}},
		{"too long", []string{long, long + "y"}, []string{long[:31], long[:29] + "~2"}},
		{"nothing left", []string{"", "''"}, []string{"batch", "batch~2"}},
		{"two units a letter", []string{strings.Repeat("𝄞", 20)}, []string{strings.Repeat("𝄞", 15)}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			names := newSheetNames(dayName, drawsName)
			for i, code := range tt.codes {
				if got := names.unused(code); got != tt.want[i] {
					t.Errorf("sheet of %q is %q, want %q", code, got, tt.want[i])
				}
			}
		})
	}
}

func TestSheetNamesAlwaysDoAndDiffer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names, seen := newSheetNames(dayName, drawsName), map[string]bool{"day": true, "draws": true}
		for _, code := range rapid.SliceOfN(rapid.OneOf(rapid.String(), rapid.StringMatching(`[ab'/]{0,35}`)), 1, 12).Draw(t, "codes") {
			name := names.unused(code)
			if n := len(utf16.Encode([]rune(name))); n == 0 || n > 31 {
				t.Fatalf("%q has %d units", name, n)
			}
			if strings.ContainsAny(name, `[]:*?/\`) || strings.HasPrefix(name, "'") || strings.HasSuffix(name, "'") {
				t.Fatalf("%q is no sheet name", name)
			}
			if seen[strings.ToLower(name)] {
				t.Fatalf("%q came twice", name)
			}
			seen[strings.ToLower(name)] = true
		}
	})
}

func TestLiteral(t *testing.T) {
	tests := []struct {
		name, text, want string
		most             int
	}{
		{"plain", "Quay Strings", "Quay Strings", 60},
		{"ampersand", "Quay & Lantern", "Quay && Lantern", 60},
		{"codes are no codes", "&P of &N", "&&P of &&N", 60},
		{"digits first", "12 Strings", " 12 Strings", 60},
		{"line end", "a\nb", "a b", 60},
		{"empty", "", "", 60},
		{"cut", "abcdefgh", "abc…", 4},
		{"cut before a doubled sign", "abc&&&", "abc…", 4},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := literal(tt.text, tt.most); got != tt.want {
				t.Errorf("%q, want %q", got, tt.want)
			}
		})
	}
}

func TestPrintHeaderFitsWhateverTheShopIsCalled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := page{left: rapid.String().Draw(t, "shop"), middle: strings.Repeat("&", 99), right: "Wed 30 Sep 2026", note: strings.Repeat("w", 300)}
		hf := p.headerFooter()
		for _, text := range []string{hf.OddHeader, hf.OddFooter} {
			if n := len(utf16.Encode([]rune(text))); n > 255 {
				t.Fatalf("%d units: %s", n, text)
			}
		}
	})
}
