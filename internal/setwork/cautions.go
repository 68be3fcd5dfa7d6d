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
func (r *Room) stringCautions(a *Alternative, pickup bool) []string {
	all := []string{}
	switch {
	case a.Share == nil:
		all = append(all, fmt.Sprintf("The tensile strength of %s is unknown, so no breaking share is given.", a.core.alloy.Code))
	case a.load(r) == refused:
		all = append(all, fmt.Sprintf("Loaded to %.1f %% of its core's minimum strength: this shop winds no standing set above %.0f %%, it may break.",
			100**a.Share, 100*r.practice.RefuseShare))
	case a.load(r) == stringdesign.Caution:
		all = append(all, fmt.Sprintf("Loaded to %.1f %% of its core's minimum strength: take care above %.0f %%.", 100**a.Share, 100*r.practice.CautionShare))
	}
	if a.calibratedShare != nil && a.Share != nil && r.load(*a.calibratedShare) != a.load(r) && *a.calibratedShare > *a.Share {
		all = append(all, fmt.Sprintf("By the strings that this shop has weighed it pulls %.1f N, which is %.1f %% of its core's minimum strength: more than computed.",
			float64(*a.calibrated), 100**a.calibratedShare))
	}
	if pickup {
		all = append(all, magnetic(a)...)
	}
	return all
}

func magnetic(a *Alternative) []string {
	outer := a.outer().alloy
	switch {
	case outer.Ferromagnetic == material.Varies:
		return []string{fmt.Sprintf("Whether %s answers to a magnetic pickup varies from heat to heat: try it.", outer.Code)}
	case outer.Ferromagnetic.Ferromagnetic():
		return nil
	case a.Plain():
		return []string{fmt.Sprintf("A magnetic pickup does not sense %s.", outer.Code)}
	}
	return []string{fmt.Sprintf("The wrap of %s is not magnetic: a magnetic pickup senses the core alone, so the string speaks with less output beside plain ones.", outer.Code)}
}

// setCautions gathers what a person should know of a whole set; never nil.
func (r *Room) setCautions(positions []position, c choice, were []*Alternative, pickup bool) []string {
	all := []string{}
	var picks []*Alternative
	var missing []string
	var sayings saying
	for i, a := range c.picks {
		if a == nil {
			all = append(all, fmt.Sprintf("String %d: no string that this shop can make comes near the wanted tension and bears it.", positions[i].number))
			continue
		}
		picks = append(picks, a)
		for _, text := range r.stringCautions(a, pickup) {
			sayings.add(text, positions[i].number)
		}
		if !c.served[i] {
			missing = append(missing, fmt.Sprint(positions[i].number))
		}
	}
	all = append(all, sayings.texts()...)
	if len(missing) > 0 {
		all = append(all, fmt.Sprintf("The shelf lacks wire for string %s of one whole set.", strings.Join(missing, ", ")))
	}
	all = append(all, r.heavier(picks, were)...)
	all = append(all, alloyCautions(picks)...)
	return all
}

// notProven says what is known of a set that a search found which had to stop.
func notProven(s SetAnswer) string {
	return fmt.Sprintf("This set is not proven the best: there are too many ways to cut one from the shelf to try them all. It differs from the wanted tensions by %.2f %% (root mean square), and a better one by %.2f %% at least.",
		s.OffPercent, s.OffAtLeastPercent)
}

// saying gathers the strings of which the same is said.
type saying []said

type said struct {
	text    string
	strings []string
}

func (s *saying) add(text string, number int) {
	i := slices.IndexFunc(*s, func(known said) bool { return known.text == text })
	if i < 0 {
		i = len(*s)
		*s = append(*s, said{text: text})
	}
	(*s)[i].strings = append((*s)[i].strings, fmt.Sprint(number))
}

func (s saying) texts() (all []string) {
	for _, one := range s {
		all = append(all, fmt.Sprintf("String %s: %s", strings.Join(one.strings, ", "), one.text))
	}
	return all
}

// heavier cautions where a set pulls more than the one it replaces by more than the shop's limit.
func (r *Room) heavier(picks, were []*Alternative) []string {
	if len(were) == 0 {
		return nil
	}
	c := stringdesign.Compare(tensions(picks), tensions(were))
	if c.Total <= r.practice.AddedTension {
		return nil
	}
	return []string{fmt.Sprintf("This set pulls %.1f N (%.1f lbf) more than the one it replaces: a heavier set loads neck and bridge, so let the instrument's maker or a repairer judge it.",
		float64(c.Total), c.Total.PoundsForce())}
}

// alloyCautions tells of skin and tarnish, once per alloy outside.
func alloyCautions(picks []*Alternative) []string {
	var all []string
	seen := map[material.AlloyCode]bool{}
	for _, a := range picks {
		outer := a.outer().alloy
		if seen[outer.Code] {
			continue
		}
		seen[outer.Code] = true
		switch outer.Nickel {
		case material.Yes:
			all = append(all, fmt.Sprintf("%s: nickel may sensitise skin.", outer.Code))
		case material.Unsaid:
			all = append(all, fmt.Sprintf("%s: nobody has said whether there is nickel at its surface, which may sensitise skin; treat it as if there were (column nickel of alloys.csv says it).", outer.Code))
		}
		if outer.Tarnishes == material.Sooner {
			all = append(all, fmt.Sprintf("%s tarnishes sooner than nickel or stainless steel: copper alloys dull first.", outer.Code))
		}
	}
	return all
}

// keptCaution says why a string stays what it is.
func (r *Room) keptCaution(p position, alloy material.Alloy, within float64, heldOnly bool) string {
	stays := fmt.Sprintf("String %d stays %s: ", p.number, p.present.name())
	what := "no string of " + string(alloy.Code)
	switch {
	case p.present.Plain():
		what = "no plain string of " + string(p.present.core.alloy.Code)
	case !alloy.Wrap:
		return stays + string(alloy.Code) + " is not marked as a wrap."
	case !r.hasWrap(alloy.Code):
		return stays + "this shop has no wire of " + string(alloy.Code) + "."
	}
	if heldOnly {
		what += " that the shelf holds beside the others"
	}
	return fmt.Sprintf("%s%s comes within %g %% of the wanted tension and bears it.", stays, what, math.Round(1e4*within)/100)
}

func (r *Room) hasWrap(alloy material.AlloyCode) bool {
	for _, w := range r.wires {
		if w.alloy.Code == alloy {
			return true
		}
	}
	return false
}
