package setwork

import (
	"cmp"
	"math"
	"slices"

	"windingroom/internal/fields"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stringdesign"
	"windingroom/internal/winding"
)

// FindAnswer lists ways to make a gauge.
type FindAnswer struct {
	Found []Found `json:"found" doc:"Nearest to the wanted gauge first, to the tenth of a thousandth, by the calibrated gauge where it is known, else by the computed one; then with wire on the shelf, then the cheaper one. At most twenty."`
	More  int     `json:"more" doc:"Further ways that are not listed."`
}

// Found is one way to make a gauge.
type Found struct {
	Recipe           string   `json:"recipe" doc:"Empty where no recipe makes it yet."`
	Core             string   `json:"core"`
	Wraps            []string `json:"wraps"`
	GaugeThou        float64  `json:"gauge_thou"`
	NominalGaugeThou float64  `json:"nominal_gauge_thou"`
	MassPerMetreG    float64  `json:"mass_per_length_g_m"`

	CalibratedGauge
	CalibratedTension
	TensionN      *float64 `json:"tension_n,omitempty" doc:"At scale and pitch, where they were given."`
	TensionFromN  *float64 `json:"tension_from_n,omitempty" doc:"With every wire at the thin end of its tolerance."`
	TensionToN    *float64 `json:"tension_to_n,omitempty" doc:"With every wire at the thick end."`
	TensionMostN  *float64 `json:"tension_most_n,omitempty" doc:"At which the core reaches the shop's caution_breaking_share."`
	BreakingShare *float64 `json:"breaking_share,omitempty"`

	Held     bool      `json:"held"`
	Wires    []Free    `json:"wires"`
	WireCost *float64  `json:"wire_cost" doc:"Of one good string."`
	Cautions []Caution `json:"cautions"`
}

// Free is what the shelf has of a wire.
type Free struct {
	Wire string  `json:"wire"`
	Kg   float64 `json:"free_kg"`
}

const mostFound = 20

// usualScale is what a string takes its wire for where no scale is given (common practice, no source).
const usualScale = 255 * measure.Inch / 10

// Find lists the ways in which a gauge can be made in an alloy: the recipes, and the core + wrap pairs within the shop's limits
// whose computed or calibrated gauge comes near. The error is fields.Invalid and lists every field at fault.
func (r *Room) Find(q FindRequest) (FindAnswer, error) {
	var problems fields.Invalid
	alloy := r.alloy(q.Alloy, &problems)
	within := 0.5
	if q.Tolerance != nil {
		within = *q.Tolerance
	}
	if !(within >= 0 && within <= 100) {
		problems.Add("tolerance_thou", "must be from 0 to 100")
	}
	if !(q.GaugeThou > 0 && q.GaugeThou <= 1000) {
		problems.Add("gauge_thou", "must be a gauge in thousandths of an inch, above 0 and at most 1000")
	}
	p := position{number: 1, scale: usualScale}
	pitched := q.Pitch != ""
	switch {
	case pitched:
		p = placed(0, q.ScaleIn, q.Pitch, "", &problems)
	case q.ScaleIn != 0:
		p.scale = readScale(q.ScaleIn, "scale_in", &problems)
	}
	if len(problems) > 0 {
		return FindAnswer{}, problems
	}
	list := r.wound(alloy.Code, true, q.HeldOnly).list
	if alloy.Core {
		list = append(list, r.plain(alloy.Code, q.HeldOnly).list...)
	}
	var ways []*Alternative
	for _, c := range list {
		if c.offGauge(q.GaugeThou) > within+slight {
			continue
		}
		if a := r.at(p, c); a.Held || !q.HeldOnly {
			ways = append(ways, a)
		}
	}
	tenths := func(a *Alternative) float64 { return math.Round(math.Abs(a.bestGauge()-q.GaugeThou) * 10) }
	slices.SortStableFunc(ways, func(a, b *Alternative) int {
		return cmp.Or(cmp.Compare(tenths(a), tenths(b)), first(a.Held, b.Held), cmp.Compare(a.cost, b.cost), cmp.Compare(a.core.Code, b.core.Code))
	})
	answer := FindAnswer{Found: []Found{}, More: max(0, len(ways)-mostFound)}
	for _, a := range ways[:min(len(ways), mostFound)] {
		answer.Found = append(answer.Found, r.found(p, a, pitched))
	}
	return answer, nil
}

// offGauge says how near a string comes to a gauge by what it computes to, goes by or measures, in thousandths of an inch.
func (c *Candidate) offGauge(thou float64) float64 {
	off := math.Inf(1)
	for _, gauge := range []float64{c.string.Gauge.Thou(), c.Nominal.Thou(), c.bestGauge()} {
		off = min(off, math.Abs(gauge-thou))
	}
	return off
}

func (r *Room) found(p position, a *Alternative, pitched bool) Found {
	out := Found{
		Recipe: string(a.Recipe), Core: string(a.core.Code), Wraps: []string{}, GaugeThou: a.gaugeThou(),
		NominalGaugeThou: a.Nominal.Thou(), MassPerMetreG: a.string.MassPerM.GramsPerMetre(), Held: a.Held, WireCost: r.wireCost(a.cost),
		CalibratedGauge: a.calibration(), Cautions: []Caution{},
	}
	for _, l := range a.layers {
		out.Wraps = append(out.Wraps, string(l.wire.Code))
	}
	for _, u := range a.uses {
		var free measure.MassEach
		for _, s := range r.shelf.spools[u.wire] {
			free += s
		}
		out.Wires = append(out.Wires, Free{string(r.wires[u.wire].Code), free.Milligrams() / 1e6})
	}
	if a.minimum > 0 {
		most := r.practice.CautionShare * float64(a.minimum) * float64(a.string.Core.Area())
		out.TensionMostN = &most
	}
	if pitched {
		tension, from, to := float64(a.Tension), float64(r.extreme(p, a, -1)), float64(r.extreme(p, a, 1))
		out.TensionN, out.TensionFromN, out.TensionToN, out.BreakingShare = &tension, &from, &to, a.Share
		out.CalibratedTension = a.pull()
		out.Cautions = r.stringCautions(a, false)
	}
	return out
}

// extreme gives the tension with every wire at one end of its tolerance: that of ASTM A228 for its size, which is taken for
// wraps as well (common practice, no source).
func (r *Room) extreme(p position, a *Alternative, sign measure.Size) measure.Force {
	off := func(f material.Form) material.Form {
		size := f.Size
		if f.Section == material.Flat {
			size = f.Thickness
		}
		by, _ := material.DiameterTolerance(size)
		if f.Section == material.Flat {
			f.Thickness += sign * by
		} else {
			f.Size += sign * by
		}
		return f
	}
	b := winding.Build{Core: off(a.core.Form), CoreDensity: a.core.alloy.Density}
	for _, l := range a.layers {
		b.Layers = append(b.Layers, winding.Layer{Form: off(l.wire.Form), Density: l.wire.alloy.Density, Lay: l.lay})
	}
	s, err := winding.Design(b)
	if err != nil { // thick wire touches at a lay that nominal wire leaves open
		for i := range b.Layers {
			b.Layers[i].Lay = 0
		}
		if s, err = winding.Design(b); err != nil {
			return a.Tension
		}
	}
	return stringdesign.Tension(s.MassPerM, p.scale.Metres(), p.pitch)
}
