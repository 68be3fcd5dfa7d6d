package replenishment

import "windingroom/internal/material"

// A wire's family is its alloy and section. In a week with demand its wires are taken to be used by like lengths, so that a mean mass is scaled
// by the area of the section (judgement).
type family struct {
	alloy   material.AlloyCode
	section material.Section
}

type familySize struct{ lengths, demands float64 } // sum of mass over area, and how many

type families struct {
	all map[family]familySize
	own map[material.WireCode]familySize
}

func familyOf(w *Wire) family { return family{w.Alloy, w.Form.Section} }

func familySizes(wires []Wire, histories []History) families {
	f := families{map[family]familySize{}, map[material.WireCode]familySize{}}
	for i := range wires {
		area := float64(wires[i].Form.Area())
		p := PatternOf(histories[i].Weeks)
		if area <= 0 || p.Demands == 0 {
			continue
		}
		k := float64(p.Demands)
		own := familySize{k * p.Size / area, k}
		key := familyOf(&wires[i])
		all := f.all[key]
		f.own[wires[i].Code] = own
		f.all[key] = familySize{all.lengths + own.lengths, all.demands + own.demands}
	}
	return f
}

// of gives the mean demand of a week with demand of the other wires in the family, scaled to a wire; zero where there are none.
func (f families) of(w *Wire) float64 {
	all, own := f.all[familyOf(w)], f.own[w.Code]
	if all.demands-own.demands < 1 {
		return 0
	}
	return (all.lengths - own.lengths) / (all.demands - own.demands) * float64(w.Form.Area())
}
