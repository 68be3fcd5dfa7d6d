package estimate

import (
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stringdesign"
	"windingroom/internal/winding"
)

// Answer is what one string takes and what happens at pitch. Numbers are not rounded.
type Answer struct {
	GaugeThou             float64       `json:"gauge_thou"`
	Core                  CoreAnswer    `json:"core"`
	Layers                []LayerAnswer `json:"layers"`
	MassPerLengthKgM      float64       `json:"mass_per_length_kg_m"`
	FrequencyHz           float64       `json:"frequency_hz"`
	TensionN              float64       `json:"tension_n"`
	TensionLbf            float64       `json:"tension_lbf"`
	CoreStressMPa         float64       `json:"core_stress_mpa"`
	CoreMinimumTensileMPa *float64      `json:"core_minimum_tensile_mpa"` // null where the alloy's strength is unknown
	BreakingShare         *float64      `json:"breaking_share"`           // null likewise
	Ferromagnetic         bool          `json:"ferromagnetic"`
	Cautions              []string      `json:"cautions"`
}

// CoreAnswer is the core wire of one string, cut to length; of a plain string the whole of it.
type CoreAnswer struct {
	LengthMM float64 `json:"length_mm"`
	MassMg   float64 `json:"mass_mg"`
}

// LayerAnswer is one wrap of one string. Turns cover the wound length; length and mass include the waste turns.
type LayerAnswer struct {
	Turns             float64 `json:"turns"`
	LengthMM          float64 `json:"length_mm"`
	MassMg            float64 `json:"mass_mg"`
	DiameterAfterThou float64 `json:"diameter_after_thou"`
}

// Of answers a build with the shop's alloys and allowances. The error is Invalid and lists every field at fault.
func Of(b Build, alloys material.Alloys, shop winding.Allowances) (Answer, error) {
	r, err := resolve(b, alloys, shop)
	if err != nil {
		return Answer{}, err
	}
	use := r.design.At(r.scale, r.allowance)
	tension := stringdesign.Tension(r.design.MassPerM, r.scale.Metres(), r.pitch)
	stress := stringdesign.CoreStress(tension, r.design.Core.Area())
	a := Answer{
		GaugeThou:        r.design.Gauge.Thou(),
		Core:             CoreAnswer{LengthMM: use.Core.Length.Millimetres(), MassMg: milligrams(use.Core.Kg)},
		Layers:           layerAnswers(r.design, use),
		MassPerLengthKgM: float64(r.design.MassPerM),
		FrequencyHz:      float64(r.pitch),
		TensionN:         float64(tension),
		TensionLbf:       tension.PoundsForce(),
		CoreStressMPa:    stress.Megapascals(),
		Ferromagnetic:    r.outermost().Ferromagnetic.Ferromagnetic(),
	}
	if minimum, ok := r.core.MinimumTensile(r.design.Core); ok {
		mpa, share := minimum.Megapascals(), stringdesign.BreakingShare(stress, minimum)
		a.CoreMinimumTensileMPa, a.BreakingShare = &mpa, &share
	}
	a.Cautions = r.cautions(a.BreakingShare)
	return a, nil
}

func layerAnswers(s winding.String, use winding.Consumption) []LayerAnswer {
	all := make([]LayerAnswer, len(use.Layers))
	for i, l := range use.Layers {
		all[i] = LayerAnswer{
			Turns:             l.Turns,
			LengthMM:          l.Length.Millimetres(),
			MassMg:            milligrams(l.Kg),
			DiameterAfterThou: s.Turns[i].DiameterAfter.Thou(),
		}
	}
	return all
}

func milligrams(kg float64) float64 { return kg * float64(measure.Kilogram) }

// outermost gives the alloy on the outside: the last wrap, or the wire of a plain string.
func (r resolved) outermost() material.Alloy {
	if n := len(r.wraps); n > 0 {
		return r.wraps[n-1]
	}
	return r.core
}
