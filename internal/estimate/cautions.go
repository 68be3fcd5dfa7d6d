package estimate

import (
	"fmt"

	"windingroom/internal/material"
	"windingroom/internal/stringdesign"
)

// Usual shares of the core in the gauge: guitar strings run from 0.33 to 0.55, bass strings from 0.18 to 0.40 (common
// practice, no source).
const (
	thinnestCore   = 0.18
	thickestCore   = 0.55
	slightRounding = 1e-9
)

// cautions says in plain sentences what a person should know before winding this string; never nil.
func (r resolved) cautions(share *float64) []string {
	all := []string{}
	all = append(all, r.strengthCautions(share)...)
	all = append(all, r.magneticCautions()...)
	for i, t := range r.design.Turns {
		if t.Open {
			all = append(all, fmt.Sprintf("Layer %d is wound more open than touching: a lay of %.2f thou, where touching turns need %.2f.",
				i+1, t.Lay.Thou(), t.Touching.Thou()))
		}
	}
	if len(r.wraps) > 0 {
		ratio := float64(r.design.Core.Size.Metres() / r.design.Gauge)
		if ratio < thinnestCore-slightRounding || ratio > thickestCore+slightRounding {
			all = append(all, fmt.Sprintf("The core is %.0f %% of the gauge; usual are %.0f to %.0f %%.", 100*ratio, 100*thinnestCore, 100*thickestCore))
		}
	}
	return append(all, r.useCautions()...)
}

func (r resolved) strengthCautions(share *float64) []string {
	if share == nil {
		return []string{fmt.Sprintf("The tensile strength of %s is unknown, so no breaking share is given.", r.core.Code)}
	}
	switch stringdesign.LoadOf(*share) {
	case stringdesign.Refused:
		return []string{fmt.Sprintf("The core is loaded to %.1f %% of its minimum tensile strength: above %.0f %% it is refused for standing sets and may break.",
			100**share, 100*stringdesign.CautionUpTo)}
	case stringdesign.Caution:
		return []string{fmt.Sprintf("The core is loaded to %.1f %% of its minimum tensile strength: above %.0f %% take care.",
			100**share, 100*stringdesign.FineUpTo)}
	}
	return nil
}

func (r resolved) magneticCautions() []string {
	outer, core := r.outermost(), r.core
	plain := len(r.wraps) == 0
	switch {
	case outer.Ferromagnetic == material.Varies:
		return []string{fmt.Sprintf("Whether %s is magnetic varies from heat to heat and with temperature: try it on the pickup.", outer.Code)}
	case outer.Ferromagnetic != material.None:
		return nil
	case plain:
		return []string{fmt.Sprintf("%s is not magnetic: a magnetic pickup does not sense this string.", outer.Code)}
	case core.Ferromagnetic.Ferromagnetic():
		return []string{fmt.Sprintf("The wrap of %s is not magnetic: over a magnetic pickup the steel core is still sensed, only less.", outer.Code)}
	}
	return []string{fmt.Sprintf("Neither the wrap of %s nor the core is surely magnetic: a magnetic pickup may not sense this string.", outer.Code)}
}

// useCautions names alloys that are put to a use they are not marked for.
func (r resolved) useCautions() []string {
	var all []string
	if !r.core.Core {
		all = append(all, fmt.Sprintf("%s is not marked as a core.", r.core.Code))
	}
	for i, w := range r.wraps {
		if !w.Wrap {
			all = append(all, fmt.Sprintf("%s, in layer %d, is not marked as a wrap.", w.Code, i+1))
		}
	}
	return all
}
