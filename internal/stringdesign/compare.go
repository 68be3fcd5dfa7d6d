package stringdesign

import "windingroom/internal/measure"

// Comparison says how a set pulls beside another one: more than zero is heavier.
type Comparison struct {
	Total   measure.Force   // total of the set less that of the reference
	Share   float64         // of the reference's total
	Strings []measure.Force // per position, as far as both sets go
	Most    int             // index of the position that differs most; -1 where there is none
}

// Compare sets the tensions of a set beside those of a reference, position by position. Sets of different numbers of strings
// are compared in the positions that both have; the totals are those of the whole sets.
func Compare(set, reference []measure.Force) Comparison {
	was := BalanceOf(reference).Total
	c := Comparison{Total: BalanceOf(set).Total - was, Most: -1}
	if was > 0 {
		c.Share = float64(c.Total / was)
	}
	for i := range min(len(set), len(reference)) {
		c.Strings = append(c.Strings, set[i]-reference[i])
		if c.Most < 0 || magnitude(c.Strings[i]) > magnitude(c.Strings[c.Most]) {
			c.Most = i
		}
	}
	return c
}

func magnitude(f measure.Force) measure.Force { return max(f, -f) }
