package intake

import (
	"fmt"
	"strconv"
	"strings"

	"windingroom/internal/catalog"
)

// SetForm is one standing set as a person or program writes it: every field as text, judged by the rules of sets.csv. Its strings stand in
// the order of their positions, from 1.
type SetForm struct {
	Set     string
	Strings []SetFormString
}

// SetFormString is one string of it; the scale is in inches.
type SetFormString struct{ Recipe, Scale, Pitch string }

// ReadSet reads a set with the recipes that are known. The problems name their field: strings[0].scale_in.
func ReadSet(form SetForm, known Known) (catalog.Set, Problems) {
	known.Orders, known.Sets = nil, nil
	if len(form.Strings) == 0 {
		return catalog.Set{}, Problems{{Column: "strings", Text: "is needed: one string or more"}}
	}
	r := newResolution(&Folder{}, known)
	t := &table{spec: specs[setsFile], report: &report{}, width: len(specs[setsFile].columns)}
	for c := range t.width {
		t.places = append(t.places, c)
	}
	one := &row{spec: t.spec, report: t.report, fields: make([]string, t.width)}
	for i, s := range form.Strings {
		t.line = i + 1
		t.load(one, []string{form.Set, strconv.Itoa(i + 1), s.Recipe, s.Scale, s.Pitch})
		r.folder.takeSet(one)
	}
	r.takeSets()
	var problems Problems
	told := map[string]bool{}
	for _, p := range t.report.with(r.reports[setsFile]) {
		if p.Column != "set" {
			p.Column = fmt.Sprintf("strings[%d].%s", p.Line-1, p.Column)
		}
		p.File, p.Line = "", 0
		p.Text, _, _ = strings.Cut(p.Text, ": it is neither in")
		if !told[p.Column] {
			told[p.Column] = true
			problems = append(problems, p)
		}
	}
	if len(problems) > 0 || len(r.facts.Sets) != 1 {
		return catalog.Set{}, problems
	}
	return r.facts.Sets[0], nil
}
