package material

import "testing"

func TestCare(t *testing.T) {
	want := map[AlloyCode][2]bool{ // nickel on the fingers, tarnishes soon
		"music-wire": {}, "nickel-plated-steel": {true, false}, "nickel": {true, false}, "bronze-80-20": {false, true},
		"phosphor-bronze-8": {false, true}, "phosphor-bronze-5": {false, true}, "nickel-plated-bronze": {true, false},
		"stainless-430": {}, "monel-400": {true, false}, "copper": {false, true},
	}
	for _, a := range BuiltIn() {
		w, ok := want[a.Code]
		if got := [2]bool{a.HasNickel(), a.TarnishesSoon()}; !ok || got != w {
			t.Errorf("%s: nickel and tarnish %v, want %v", a.Code, got, w)
		}
	}
	if own := (Alloy{Code: "CN-90-10", Name: "Copper-nickel 90/10"}); !own.HasNickel() || own.TarnishesSoon() {
		t.Error("an alloy of the shop's own is told by its name")
	}
}
