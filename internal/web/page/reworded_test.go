package page

import (
	"strings"
	"testing"

	"windingroom/internal/units"
)

func TestReworded(t *testing.T) {
	for _, tt := range []struct {
		name, text, grams, pounds string
	}{
		{"masses", "1000.0 g on hand, less 12.5 g allocated, leaves 987.5 g", "1 000.0 g on hand, less 12.5 g allocated, leaves 987.5 g",
			"35.27 oz on hand, less 0.44 oz allocated, leaves 34.83 oz"},
		{"bulk", "ashdell: MW-R-9.5 0.5 kg, MW-R-10.5 2 kg", "ashdell: MW-R-9.5 0.50 kg, MW-R-10.5 2.00 kg", "ashdell: MW-R-9.5 1.10 lb, MW-R-10.5 4.41 lb"},
		{"days", "order by 2026-03-09, not 2026-02-30", "order by Mon 9 Mar 2026, not 2026-02-30", "order by Mon 9 Mar 2026, not 2026-02-30"},
		{"no quantity", "order O-26-142 is at risk; 5 gauges, 3 days, 94 times in 100", "order O-26-142 is at risk; 5 gauges, 3 days, 94 times in 100",
			"order O-26-142 is at risk; 5 gauges, 3 days, 94 times in 100"},
	} {
		plain := strings.NewReplacer("\u00a0", " ", "\u202f", " ")
		for u, want := range map[units.Units]string{{}: tt.grams, {Pounds: true}: tt.pounds} {
			if got := plain.Replace(Reworded(u, tt.text)); got != want {
				t.Errorf("%s, pounds %v: %q, want %q", tt.name, u.Pounds, got, want)
			}
		}
	}
}
