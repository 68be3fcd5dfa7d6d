package setwork

import (
	"encoding/json"
	"testing"

	"windingroom/internal/measure"
)

// TestCautionText: as text a pull is in newtons and pounds-force, and on a page as the page prints it.
func TestCautionText(t *testing.T) {
	pulls := Caution{Before: "It pulls ", Pull: 100, After: " more."}
	for _, tt := range []struct {
		caution    Caution
		text, page string
	}{
		{pulls, "It pulls 100.0 N (22.5 lbf) more.", "It pulls much more."},
		{warn("%s: take care.", "brass"), "brass: take care.", "brass: take care."},
	} {
		got, err := json.Marshal([]Caution{tt.caution})
		if want := `["` + tt.text + `"]`; err != nil || string(got) != want {
			t.Errorf("%s, %v; want %s", got, err, want)
		}
		if got := tt.caution.In(func(measure.Force) string { return "much" }); got != tt.page {
			t.Errorf("%q; want %q", got, tt.page)
		}
		var back []Caution
		if err := json.Unmarshal(got, &back); err != nil || len(back) != 1 || back[0].String() != tt.text {
			t.Errorf("%v read back as %v", err, back)
		}
	}
}
