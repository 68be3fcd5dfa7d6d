package page

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Plural counts: "1 batch", "3 batches".
func Plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Texts gives codes as texts.
func Texts[C ~string](codes []C) []string {
	all := make([]string, len(codes))
	for i, c := range codes {
		all[i] = string(c)
	}
	return all
}

// Sentence begins a text with a capital and ends it with a full stop.
func Sentence(text string) string {
	if text == "" {
		return ""
	}
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:] + "."
}

// Number prints a number without unit with up to two decimals.
func Number(v float64) string {
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".")
}
