package estimate

import (
	"errors"
	"fmt"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stringdesign"
	"windingroom/internal/winding"
)

// resolved is a build whose words have been turned into quantities and facts.
type resolved struct {
	core      material.Alloy
	wraps     []material.Alloy
	design    winding.String
	scale     measure.Size
	pitch     measure.Frequency
	allowance winding.Allowances
}

// longestScale in inches; beyond it a unit was mistaken.
const longestScale = 400 * measure.Inch

// resolve looks everything up and designs the string. It goes on after a mistake, so that all are found at once.
func resolve(b Build, alloys material.Alloys, shop winding.Allowances) (resolved, error) {
	var problems Invalid
	r := resolved{allowance: b.Practice.apply(shop, &problems)}
	var w winding.Build
	r.core = find(alloys, b.Core, "core", &problems)
	w.Core, w.CoreDensity, w.BallEnd = b.Core.form("core", &problems), r.core.Density, b.BallEnd
	for i, l := range b.Layers {
		path := layerPath(i)
		alloy := find(alloys, l.Wire, path, &problems)
		r.wraps = append(r.wraps, alloy)
		w.Layers = append(w.Layers, winding.Layer{
			Form: l.form(path, &problems), Density: alloy.Density, Lay: l.lay(path, &problems),
		})
	}
	r.scale = scale(b.ScaleIn, &problems)
	r.pitch = pitch(b.Pitch, &problems)
	design, err := winding.Design(w)
	var geometry winding.Problems
	if errors.As(err, &geometry) {
		for _, e := range geometry {
			problems.Add(e.Field, e.Problem)
		}
	}
	r.design = design
	return r, problems.OrNil()
}

// find looks an alloy up. An unknown one is listed, and stands in with a density so that the geometry is checked as well.
func find(alloys material.Alloys, w Wire, path string, problems *Invalid) material.Alloy {
	a, ok := alloys.Find(material.AlloyCode(w.Alloy))
	switch {
	case ok:
		return a
	case w.Alloy == "":
		problems.Add(path+".alloy", "is needed, such as music-wire")
	default:
		problems.Add(path+".alloy", fmt.Sprintf("%q is not an alloy of this shop", w.Alloy))
	}
	return material.Alloy{Density: 1}
}

// lay reads the advance per turn; zero stands for touching turns only where none was given.
func (l Layer) lay(path string, problems *Invalid) measure.Size {
	if l.LayThou == nil {
		return 0
	}
	s, err := measure.SizeFromThou(*l.LayThou)
	if err != nil || s <= 0 {
		problems.Add(path+".lay_thou", "must be more than zero, or null for touching turns")
	}
	return s
}

func scale(inches float64, problems *Invalid) measure.Size {
	s, err := measure.SizeFromInches(inches)
	switch {
	case err != nil || s > longestScale:
		problems.Add("scale_in", "must be a scale length in inches, at most "+longestScale.InchText())
	case s <= 0:
		problems.Add("scale_in", "must be more than zero")
	}
	return s
}

func pitch(p Pitch, problems *Invalid) measure.Frequency {
	f, err := stringdesign.ParsePitch(string(p))
	if err != nil {
		problems.Add("pitch", "must be a note such as A2 or hertz such as 110: "+err.Error())
	}
	return f
}
