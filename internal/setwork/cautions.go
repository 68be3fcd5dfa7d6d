package setwork

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"windingroom/internal/material"
	"windingroom/internal/stringdesign"
)

const refused = stringdesign.Refused

// stringCautions says what a person should know of one string before it is offered; never nil.
func (r *Room) stringCautions(a *Alternative, pickup bool) []Caution {
	all := []Caution{}
	switch {
	case a.Share == nil:
		all = append(all, warn("The tensile strength of %s is unknown, so no breaking share is given.", a.core.alloy.Code))
	case a.load(r) == refused:
		all = append(all, warn("Loaded to %.1f %% of its core's minimum strength: this shop winds no standing set above %.0f %%, it may break.",
			100**a.Share, 100*r.practice.RefuseShare))
	case a.load(r) == stringdesign.Caution:
		all = append(all, warn("Loaded to %.1f %% of its core's minimum strength: take care above %.0f %%.", 100**a.Share, 100*r.practice.CautionShare))
	}
	if a.calibratedShare != nil && a.Share != nil && r.load(*a.calibratedShare) != a.load(r) && *a.calibratedShare > *a.Share {
		all = append(all, Caution{Before: "By the strings that this shop has weighed it pulls ", Pull: *a.calibrated,
			After: fmt.Sprintf(", which is %.1f %% of its core's minimum strength: more than computed.", 100**a.calibratedShare)})
	}
	if pickup {
		all = append(all, magnetic(a)...)
	}
	return all
}

func magnetic(a *Alternative) []Caution {
	outer := a.outer().alloy
	switch {
	case outer.Ferromagnetic == material.Varies:
		return []Caution{warn("Whether %s answers to a magnetic pickup varies from heat to heat: try it.", outer.Code)}
	case outer.Ferromagnetic.Ferromagnetic():
		return nil
	case a.Plain():
		return []Caution{warn("A magnetic pickup does not sense %s.", outer.Code)}
	}
	return []Caution{warn("The wrap of %s is not magnetic: a magnetic pickup senses the core alone, so the string speaks with less output beside plain ones.", outer.Code)}
}

// setCautions gathers what a person should know of a whole set; never nil.
func (r *Room) setCautions(positions []position, c choice, were []*Alternative, pickup bool) []Caution {
	all := []Caution{}
	var picks []*Alternative
	var missing []string
	var sayings saying
	for i, a := range c.picks {
		if a == nil {
			all = append(all, warn("String %d: no string that this shop can make comes near the wanted tension and bears it.", positions[i].number))
			continue
		}
		picks = append(picks, a)
		for _, c := range r.stringCautions(a, pickup) {
			sayings.add(c, positions[i].number)
		}
		if !c.served[i] {
			missing = append(missing, fmt.Sprint(positions[i].number))
		}
	}
	all = append(all, sayings.cautions()...)
	if len(missing) > 0 {
		all = append(all, warn("The shelf lacks wire for string %s of one whole set.", strings.Join(missing, ", ")))
	}
	all = append(all, r.heavier(picks, were)...)
	all = append(all, alloyCautions(picks)...)
	return all
}

// notProven says what is known of a set that a search found which had to stop.
func notProven(s SetAnswer) Caution {
	return warn("This set is not proven the best: there are too many ways to cut one from the shelf to try them all. It differs from the wanted tensions by %.2f %% (root mean square), and a better one by %.2f %% at least.",
		s.OffPercent, s.OffAtLeastPercent)
}

// saying gathers the strings of which the same is said.
type saying []said

type said struct {
	caution Caution
	strings []string
}

func (s *saying) add(c Caution, number int) {
	i := slices.IndexFunc(*s, func(known said) bool { return known.caution == c })
	if i < 0 {
		i = len(*s)
		*s = append(*s, said{caution: c})
	}
	(*s)[i].strings = append((*s)[i].strings, fmt.Sprint(number))
}

func (s saying) cautions() (all []Caution) {
	for _, one := range s {
		c := one.caution
		c.Before = fmt.Sprintf("String %s: %s", strings.Join(one.strings, ", "), c.Before)
		all = append(all, c)
	}
	return all
}

// heavier cautions where a set pulls more than the one it replaces by more than the shop's limit.
func (r *Room) heavier(picks, were []*Alternative) []Caution {
	if len(were) == 0 {
		return nil
	}
	c := stringdesign.Compare(tensions(picks), tensions(were))
	if c.Total <= r.practice.AddedTension {
		return nil
	}
	return []Caution{{Before: "This set pulls ", Pull: c.Total,
		After: " more than the one it replaces: a heavier set loads neck and bridge, so let the instrument's maker or a repairer judge it."}}
}

// alloyCautions tells of skin and tarnish, once per alloy outside.
func alloyCautions(picks []*Alternative) []Caution {
	var all []Caution
	seen := map[material.AlloyCode]bool{}
	for _, a := range picks {
		outer := a.outer().alloy
		if seen[outer.Code] {
			continue
		}
		seen[outer.Code] = true
		switch outer.Nickel {
		case material.Yes:
			all = append(all, warn("%s: nickel may sensitise skin.", outer.Code))
		case material.Unsaid:
			all = append(all, warn("%s: nobody has said whether there is nickel at its surface, which may sensitise skin; treat it as if there were (column nickel of alloys.csv says it).", outer.Code))
		}
		if outer.Tarnishes == material.Sooner {
			all = append(all, warn("%s tarnishes sooner than nickel or stainless steel: copper alloys dull first.", outer.Code))
		}
	}
	return all
}

// keptCaution says why a string stays what it is.
func (r *Room) keptCaution(p position, alloy material.Alloy, within float64, heldOnly bool) Caution {
	stays := fmt.Sprintf("String %d stays %s: ", p.number, p.present.name())
	what := "no string of " + string(alloy.Code)
	switch {
	case p.present.Plain():
		what = "no plain string of " + string(p.present.core.alloy.Code)
	case !alloy.Wrap:
		return warn("%s%s is not marked as a wrap.", stays, alloy.Code)
	case !r.hasWrap(alloy.Code):
		return warn("%sthis shop has no wire of %s.", stays, alloy.Code)
	}
	if heldOnly {
		what += " that the shelf holds beside the others"
	}
	return warn("%s%s comes within %g %% of the wanted tension and bears it.", stays, what, math.Round(1e4*within)/100)
}

func (r *Room) hasWrap(alloy material.AlloyCode) bool {
	for _, w := range r.wires {
		if w.alloy.Code == alloy {
			return true
		}
	}
	return false
}
