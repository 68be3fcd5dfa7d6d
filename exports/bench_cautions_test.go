package exports

import "testing"

func TestHasNickel(t *testing.T) {
	for alloy, want := range map[string]bool{
		"Nickel 200": true, "nickel-plated steel": true, "Copper-nickel 90/10": true, "Monel 400": true, "phosphor bronze 8 %": false, "": false,
	} {
		if hasNickel(alloy) != want {
			t.Errorf("hasNickel(%q) is %v", alloy, !want)
		}
	}
}
