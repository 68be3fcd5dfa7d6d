package sets

import (
	"fmt"
	"strconv"
	"strings"

	"windingroom/internal/measure"
	"windingroom/internal/requirements"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// calibratedText says in a few words what is known of a recipe.
func calibratedText(c workshop.Calibrated) string {
	weighed, measured := "not weighed", "not measured"
	if n := c.Factor.Weighings; n > 0 {
		weighed = fmt.Sprintf("takes %.1f %% of the computed wire", 100*c.Factor.Value)
	}
	if c.Gauges > 0 {
		measured = "measured on " + page.Plural(c.Gauges, "string", "strings")
	}
	return weighed + ", " + measured
}

func calibratedFacts(u units.Units, c workshop.Calibrated) []page.Fact {
	size := func(nm float64) string { return u.Size(measure.Size(nm + .5)).String() }
	factor := "as computed: nothing was weighed of it or its family"
	switch n := c.Factor.Weighings; {
	case n > 0:
		factor = fmt.Sprintf("%.4f ± %.4f, from %s", c.Factor.Value, c.Factor.StdError, page.Plural(n, "weighing", "weighings"))
	case c.Factor.Value != 1:
		factor = fmt.Sprintf("%.4f ± %.4f, its family's", c.Factor.Value, c.Factor.StdError)
	}
	all := []page.Fact{{Term: "Wire factor", Text: factor}, {Term: "Gauge computed", Text: size(c.Gauge)}}
	if c.Gauges > 0 {
		all = append(all, page.Fact{Term: "Gauge measured", Text: fmt.Sprintf("%s ± %s, mean of %s", size(c.Measured), size(c.Uncertainty), page.Plural(c.Gauges, "string", "strings"))})
	}
	if g := c.CalibratedGauge; g != nil {
		from := "from this recipe's strings"
		if g.Strings == 0 {
			from = fmt.Sprintf("from %d measured recipes of its kind", g.Recipes)
		}
		all = append(all, page.Fact{Term: "Gauge calibrated", Text: fmt.Sprintf("%s ± %s, %s", size(g.Gauge), size(g.Uncertainty), from)})
	}
	all = append(all, page.Fact{Term: "Mass per metre computed", Text: fmt.Sprintf("%.4f g", c.MassPerM.GramsPerMetre())})
	if m := c.CalibratedMass; m != nil {
		all = append(all, page.Fact{Term: "Mass per metre calibrated", Text: fmt.Sprintf("%.4f ± %.4f g, from %s: tension goes with it",
			m.PerM.GramsPerMetre(), m.Uncertainty.GramsPerMetre(), page.Plural(m.Strings, "finished string", "finished strings"))})
	}
	if c.Questioned != "" {
		all = append(all, page.Fact{Term: "Questioned", Text: page.Reworded(u, c.Questioned), Tone: page.Wrong})
	}
	return all
}

// usesTable has what a string takes of each wire, computed and calibrated side by side.
func usesTable(u units.Units, c workshop.Calibrated) page.Table {
	type line struct{ computed, calibrated requirements.Use }
	var lines []line
	for i, one := range c.Computed {
		lines = append(lines, line{one, c.Used[i]})
	}
	return page.Plain("takes", "What one string takes at "+u.Scale(c.Scale).String(), []page.Column[line]{
		{Head: "Wire", Cell: func(l line) page.Cell { return page.Cell{Text: string(l.computed.Wire), Code: true} }},
		{Head: "Computed", Number: true, Cell: func(l line) page.Cell {
			return page.Text(u.MassExact(measure.Mass(l.computed.Each.Milligrams() + .5)).String())
		}},
		{Head: "Calibrated", Number: true, Cell: func(l line) page.Cell {
			return page.Text(u.MassExact(measure.Mass(l.calibrated.Each.Milligrams() + .5)).String())
		}}}, lines)
}

// keptTable has what was weighed and measured, those taken back too.
func keptTable(u units.Units, c workshop.Calibrated) page.Table {
	t := page.Plain("kept", "Weighed and measured", []page.Column[workshop.Calibration]{
		{Head: "No.", Number: true, Cell: func(one workshop.Calibration) page.Cell { return page.Text(strconv.FormatInt(one.Number, 10)) }},
		{Head: "When", Cell: func(one workshop.Calibration) page.Cell { return page.Cell{Text: u.Moment(one.At), Note: one.Person} }},
		{Head: "What", Cell: func(one workshop.Calibration) page.Cell {
			if one.Reverses != 0 {
				return page.Cell{Text: fmt.Sprintf("takes back number %d", one.Reverses), Note: one.Note}
			}
			var what []string
			if one.Strings > 0 {
				what = append(what, fmt.Sprintf("%s, %s at %s", page.Plural(one.Strings, "string", "strings"), u.MassExact(one.Mass), u.Scale(one.Scale)))
			}
			if one.Gauges > 0 {
				what = append(what, fmt.Sprintf("%s, mean %s", page.Plural(one.Gauges, "gauge", "gauges"), u.Size(measure.Size(one.Gauge+.5))))
			}
			return page.Cell{Text: strings.Join(what, "; "), Note: one.Note}
		}}}, c.Calibrations)
	t.Empty = page.Empty{Title: "Nothing weighed or measured yet", Text: "Weigh ten finished strings together, or measure a few of them, and note it here."}
	return t
}
