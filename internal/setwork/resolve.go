package setwork

import (
	"fmt"
	"math"

	"windingroom/internal/estimate"
	"windingroom/internal/fields"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stringdesign"
)

// position is the place of one string in a set, with what is strung there now, if anything is.
type position struct {
	number  int
	present *Candidate
	scale   measure.Size
	pitch   measure.Frequency
	wanted  measure.Force
}

// tension gives the pull of a candidate at this position.
func (p position) tension(c *Candidate) measure.Force {
	return stringdesign.Tension(c.string.MassPerM, p.scale.Metres(), p.pitch)
}

// longestScale bounds a scale length; beyond it a unit was mistaken.
const longestScale = 400 * measure.Inch

// resolve looks the strings of a set up. It goes on after a mistake, so that all are listed.
func (r *Room) resolve(set SetOf, name string, problems *fields.Invalid) []position {
	strings := set.Strings
	if set.Standing != "" {
		standing, ok := r.set(set.Standing)
		if !ok {
			problems.Add(name, fmt.Sprintf("%q is not a standing set of this shop", set.Standing))
			return nil
		}
		strings = nil
		for _, p := range standing.Positions {
			strings = append(strings, SetString{Recipe: string(p.Recipe), ScaleIn: p.Scale.Inches(), Pitch: estimate.Pitch(p.Pitch)})
		}
	}
	if len(strings) == 0 {
		problems.Add(name, "must list at least one string, or be the code of a standing set in quotes")
	}
	positions := make([]position, len(strings))
	for i, s := range strings {
		c := r.spelled(s, at(name, i)+".", problems)
		p := placed(i, s.ScaleIn, s.Pitch, at(name, i)+".", problems)
		p.present = c
		if c != nil {
			p.wanted = p.tension(c)
		}
		positions[i] = p
	}
	return positions
}

// placed reads scale and pitch of a string; path is what goes before their names.
func placed(i int, scaleIn float64, pitch estimate.Pitch, path string, problems *fields.Invalid) position {
	scale := readScale(scaleIn, path+"scale_in", problems)
	f, err := stringdesign.ParsePitch(string(pitch))
	if err != nil {
		problems.Add(path+"pitch", "must be a note such as E4 or hertz such as 82.41: "+err.Error())
	}
	return position{number: i + 1, scale: scale, pitch: f}
}

func readScale(inches float64, path string, problems *fields.Invalid) measure.Size {
	s, err := measure.SizeFromInches(inches)
	if err != nil || s <= 0 || s > longestScale {
		problems.Add(path, "must be a scale length in inches, above 0 and at most "+longestScale.InchText())
	}
	return s
}

// alloy looks an alloy up; the shop need not hold wire of it.
func (r *Room) alloy(code string, problems *fields.Invalid) material.Alloy {
	a, ok := r.alloys.Find(material.AlloyCode(code))
	switch {
	case code == "":
		problems.Add("alloy", "is needed: the code of an alloy in quotes, such as nickel")
	case !ok:
		problems.Add("alloy", fmt.Sprintf("%q is not an alloy of this shop", code))
	}
	return a
}

// DefaultTolerance is how far a tension may lie from the wanted one where nothing else is said, in percent.
const DefaultTolerance = 5

// tolerance reads percent as a share.
func tolerance(percent *float64, problems *fields.Invalid) float64 {
	if percent == nil {
		return DefaultTolerance / 100.0
	}
	if !(*percent >= 0 && *percent <= 100) || math.IsNaN(*percent) {
		problems.Add("tolerance_percent", "must be from 0 to 100")
	}
	return *percent / 100
}
