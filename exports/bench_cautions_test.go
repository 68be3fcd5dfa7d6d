package exports

import (
	"testing"

	"windingroom/internal/batch"
)

func TestNickelIsToldByTheAlloy(t *testing.T) {
	none, nickel, unsaid := batch.Load{AlloyName: "nickel-free in name only"}, batch.Load{AlloyName: "CuNi10", Nickel: true}, batch.Load{AlloyName: "house alloy", Unsaid: true}
	tests := []struct {
		wraps []batch.Load
		alloy string
		said  bool
	}{
		{nil, "", false}, {[]batch.Load{none}, "", false}, {[]batch.Load{none, nickel}, "CuNi10", true},
		{[]batch.Load{none, unsaid}, "house alloy", false}, {[]batch.Load{unsaid, nickel}, "CuNi10", true},
	}
	for _, tt := range tests {
		if alloy, said := nickelWrap(&batch.Sheet{Wraps: tt.wraps}); alloy != tt.alloy || said != tt.said {
			t.Errorf("%+v: %q, said %v", tt.wraps, alloy, said)
		}
	}
}
