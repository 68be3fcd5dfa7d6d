package exports

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf16"
)

// maxSheetName is the most UTF-16 units a sheet's name may have.
const maxSheetName = 31

// sheetNames gives every sheet of a book a name of its own that a workbook accepts.
type sheetNames map[string]bool

func newSheetNames(taken ...string) sheetNames {
	n := sheetNames{"history": true} // reserved by spreadsheet programs
	for _, name := range taken {
		n[fold(name)] = true
	}
	return n
}

// unused makes a name from a code: at most 31 long, without the characters []:*?/\, without a quote at either end, and
// different from the others even without regard to case. A name already taken gets ~2, ~3 and so on at its end.
func (n sheetNames) unused(code string) string {
	base := strings.Trim(strings.Map(sheetRune, code), "' ")
	if base == "" {
		base = "batch"
	}
	name := cut(base, maxSheetName)
	for i := 2; n[fold(name)]; i++ {
		end := fmt.Sprintf("~%d", i)
		name = cut(base, maxSheetName-len(end)) + end
	}
	n[fold(name)] = true
	return name
}

// fold removes the differences of case, also where one letter's cases are more than two.
func fold(name string) string { return strings.ToLower(strings.ToUpper(name)) }

func sheetRune(r rune) rune {
	if strings.ContainsRune(`[]:*?/\`, r) || unicode.IsControl(r) || r == unicode.ReplacementChar {
		return '-'
	}
	return r
}

// cut shortens a text to at most so many UTF-16 units, whole characters only.
func cut(text string, units int) string {
	for i, r := range text {
		if units -= utf16.RuneLen(r); units < 0 {
			return strings.TrimRight(text[:i], "' ")
		}
	}
	return text
}
