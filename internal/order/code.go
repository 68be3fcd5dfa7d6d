package order

import (
	"slices"
	"strconv"
	"strings"
)

// After gives a code that goes on from the last of a list: O-26-141 after O-26-140. It is empty where the last one ends in no number.
func After(codes []Code) Code {
	taken := make(map[string]bool, len(codes))
	for _, c := range codes {
		taken[strings.ToLower(string(c))] = true
	}
	if len(codes) == 0 {
		return ""
	}
	last := string(slices.Max(codes))
	stem := strings.TrimRight(last, "0123456789")
	digits := last[len(stem):]
	n, err := strconv.ParseInt(digits, 10, 32)
	if err != nil {
		return ""
	}
	for {
		n++
		text := strconv.FormatInt(n, 10)
		if code := stem + strings.Repeat("0", max(0, len(digits)-len(text))) + text; !taken[strings.ToLower(code)] {
			return Code(code)
		}
	}
}
