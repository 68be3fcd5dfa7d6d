package intake

import (
	"cmp"
	"strings"

	"windingroom/internal/material"
	"windingroom/internal/measure"
)

type alloyRow struct {
	at
	alloy material.Alloy
}

func (f *Folder) takeAlloy(r *row) {
	a := material.Alloy{
		Code:          material.AlloyCode(r.code("alloy")),
		Name:          r.text("name"),
		Density:       measure.Density(r.number("density_kg_m3", 500, 25_000)),
		Ferromagnetic: r.magnetism("ferromagnetic"),
		Core:          r.yes("core"),
		Wrap:          r.yes("wrap"),
		Source:        r.text("source"),
	}
	if _, given := r.given("nickel"); given {
		a.Nickel = material.No
		if r.yes("nickel") {
			a.Nickel = material.Yes
		}
	}
	if _, given := r.given("tarnishes"); given {
		a.Tarnishes = material.Tarnish(r.oneOf("tarnishes", string(material.Sooner), string(material.Later)))
	}
	a.Name = cmp.Or(a.Name, string(a.Code))
	f.alloys = append(f.alloys, alloyRow{r.at(), a})
}

// magnetism reads strong, weak, varies or no. A plain yes is read as strong, which is what people mean by it.
func (r *row) magnetism(column string) material.Magnetism {
	text, ok := r.need(column, "strong, weak, varies or no")
	if !ok {
		return ""
	}
	switch strings.ToLower(text) {
	case "strong", "yes", "true", "1":
		return material.Strong
	case "weak":
		return material.Weak
	case "varies":
		return material.Varies
	case "no", "none", "false", "0":
		return material.None
	}
	r.fail(column, "%q is not one of strong, weak, varies, no", excerpt(text))
	return ""
}

func (r *resolution) takeAlloys() {
	for _, row := range r.folder.alloys {
		a := row.alloy
		if a.Code == "" {
			continue
		}
		it, first := claim(r, &r.alloys, row.at, "alloy", string(a.Code))
		if !first {
			continue
		}
		// The shop's spelling stays, the strength table, which a file cannot name, and what the file says nothing of.
		a.Code, a.Strength = material.AlloyCode(it.code), it.value.Strength
		a.Nickel, a.Tarnishes = cmp.Or(a.Nickel, it.value.Nickel), cmp.Or(a.Tarnishes, it.value.Tarnishes)
		same := a == it.value
		it.other = it.known && (a.Core != it.value.Core || a.Wrap != it.value.Wrap)
		r.alloys.put(it, a, !row.bad)
		if !row.bad && r.count(alloysFile, it.known, same) {
			r.facts.Alloys = append(r.facts.Alloys, a)
		}
	}
}
