package estimate

import (
	"maps"
	"slices"
	"strings"

	"windingroom/internal/measure"
	"windingroom/internal/winding"
)

// wasteTurns is the one setting that counts turns; the others are lengths in millimetres.
const wasteTurns = "wrap_waste_turns"

// otherSettings are the shop's settings that do not touch one string. A whole practice may be given with a build; these are
// passed over, whatever their value.
var otherSettings = []string{"change_core_min", "change_wrap_min", "change_length_min", "change_spool_min", "completion_confidence", "currency",
	"scale_resolution_g", "loss_of_drawn", "loss_of_received", "caution_breaking_share", "refuse_breaking_share", "core_share_least",
	"core_share_most", "wrap_share_most", "added_tension_n", "labour_per_hour", "margin"}

// lengths finds the allowance a length setting stands for.
func lengths(a *winding.Allowances) map[string]*measure.Size {
	return map[string]*measure.Size{
		"ball_end_allowance_mm": &a.BallEnd,
		"tail_mm":               &a.Tail,
		"head_mm":               &a.Head,
		"chuck_waste_mm":        &a.ChuckWaste,
		"wrap_beyond_nut_mm":    &a.WrapBeyondNut,
	}
}

// apply gives the shop's allowances with the settings of one build put in their place.
func (p Practice) apply(shop winding.Allowances, problems *Invalid) winding.Allowances {
	a := shop
	known := lengths(&a)
	for _, name := range slices.Sorted(maps.Keys(p)) {
		v, field := p[name], "practice."+name
		size, isLength := known[name]
		switch {
		case !isLength && name != wasteTurns:
			names := append(slices.Sorted(maps.Keys(known)), wasteTurns)
			problems.Add(field, "is not a setting of one string; known are "+strings.Join(names, ", "))
		case v == nil:
		case name == wasteTurns:
			a.WasteTurns = *v
		default:
			s, err := measure.SizeFromMillimetres(*v)
			if err != nil {
				problems.Add(field, "must be a number of millimetres: "+err.Error())
			}
			*size = s
		}
	}
	if p, ok := a.Check().(winding.Problems); ok {
		for _, e := range p {
			problems.Add("practice."+e.Field, e.Problem)
		}
	}
	return a
}
