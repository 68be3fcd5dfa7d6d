package page

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// TestContrast computes the contrast of the style sheet's colours by the formula of WCAG 2.2 (read in a copy): 4.5 for text, 3 for what
// must be seen but not read.
func TestContrast(t *testing.T) {
	const text, seen = 4.5, 3.0
	pairs := []struct {
		front, back string
		least       float64
	}{
		{"ink", "paper", text}, {"ink", "card", text}, {"ink", "stripe", text}, {"ink", "band", text}, {"soft", "paper", text}, {"soft", "card", text},
		{"soft", "stripe", text}, {"soft", "band", text}, {"link", "paper", text}, {"link", "card", text}, {"link", "stripe", text}, {"link", "band", text},
		{"deep-ink", "deep", text}, {"deep-soft", "deep", text}, {"act-ink", "act", text}, {"run-ink", "run", text}, {"card", "wrong", text},
		{"good", "good-paper", text}, {"wait", "wait-paper", text}, {"wrong", "wrong-paper", text}, {"good", "card", text}, {"wait", "card", text},
		{"wrong", "card", text}, {"wrong", "stripe", text}, {"wrong", "paper", text}, {"good", "paper", text}, {"wrong", "band", text}, {"ink", "wait-paper", text},
		{"soft", "wait-paper", text}, {"link", "wait-paper", text},
		{"edge", "card", seen}, {"edge", "paper", seen}, {"act", "card", seen}, {"act", "paper", seen}, {"setup", "card", seen}, {"run", "card", seen},
		{"third", "card", seen}, {"focus", "card", seen}, {"focus", "paper", seen}, {"wrap", "deep", seen},
	}
	light, dark := schemes(t)
	for name, scheme := range map[string]map[string]string{"light": light, "dark": dark} {
		for _, p := range pairs {
			if got := contrast(t, scheme[p.front], scheme[p.back]); got < p.least {
				t.Errorf("%s: %s on %s has the contrast %.2f, wants %.1f", name, p.front, p.back, got, p.least)
			}
		}
	}
}

var colour = regexp.MustCompile(`--([a-z-]+): (#[0-9a-f]{6});`)

// schemes reads the colours of the sheet: those of its first :root, and over them those of its second, the dark one.
func schemes(t *testing.T) (light, dark map[string]string) {
	t.Helper()
	blocks := strings.SplitN(string(styleSheet()), ":root {", 4)
	light, dark = map[string]string{}, map[string]string{}
	for _, m := range colour.FindAllStringSubmatch(blocks[1], -1) {
		light[m[1]], dark[m[1]] = m[2], m[2]
	}
	for _, m := range colour.FindAllStringSubmatch(blocks[2], -1) {
		dark[m[1]] = m[2]
	}
	return light, dark
}

func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	l, m := luminance(t, a), luminance(t, b)
	return (max(l, m) + .05) / (min(l, m) + .05)
}

func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	n, err := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 32)
	if err != nil {
		t.Fatalf("%q is not a colour", hex)
	}
	linear := func(v uint64) float64 {
		c := float64(v&255) / 255
		if c <= .04045 {
			return c / 12.92
		}
		return math.Pow((c+.055)/1.055, 2.4)
	}
	return .2126*linear(n>>16) + .7152*linear(n>>8) + .0722*linear(n)
}

func TestContrastOfKnownPairs(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want float64
	}{{"#000000", "#ffffff", 21}, {"#777777", "#ffffff", 4.48}, {"#ffffff", "#ffffff", 1}} {
		if got := contrast(t, tt.a, tt.b); math.Abs(got-tt.want) > .005 {
			t.Errorf("%s on %s is %.3f, want %.2f", tt.a, tt.b, got, tt.want)
		}
	}
}
