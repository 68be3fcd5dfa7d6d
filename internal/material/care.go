package material

import "strings"

// HasNickel says whether nickel touches the fingers: an alloy or plating of nickel, told by its code and name. Nickel is a
// known sensitiser of skin (NIOSH, criteria for inorganic nickel, read in a copy).
func (a Alloy) HasNickel() bool { return a.named("nickel", "monel") }

// TarnishesSoon says whether the surface dulls sooner than nickel or stainless steel does: a copper alloy without nickel, told
// by its code and name. Common practice, no source.
func (a Alloy) TarnishesSoon() bool {
	return a.named("bronze", "brass", "copper", "80/20") && !a.HasNickel()
}

func (a Alloy) named(words ...string) bool {
	text := strings.ToLower(string(a.Code) + " " + a.Name)
	for _, w := range words {
		if strings.Contains(text, w) {
			return true
		}
	}
	return false
}
