package sets

import (
	"cmp"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// standingPage answers which standing sets can be made now, and how they pull.
type standingPage struct {
	page.Frame
	Tabs []page.Tab
	Head page.Head
	Sets page.Table
}

func (p place) standing(r *page.Request) (page.Reply, error) {
	sets, err := p.shop.StandingSets(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	held := 0
	for _, s := range sets {
		if s.Tension.Held {
			held++
		}
	}
	v := standingPage{Frame: r.Frame("Sets"), Tabs: tabs(standingPath, bench{}), Head: page.Head{Place: "Sets", Answer: "No standing set yet"}}
	if len(sets) > 0 {
		v.Head.Answer = standingAnswer(held, len(sets))
		v.Head.Note = "Each for one set, from wire that is free. Open one to see it string by string."
	}
	v.Sets = page.NewTable(r.Request.URL.Query(), standingSpec(r), sets)
	return page.Show(standingTemplate, v), nil
}

func standingAnswer(held, sets int) string {
	switch held {
	case sets:
		return fmt.Sprintf("All %d standing sets can be made from wire on hand", sets)
	case 0:
		return "No standing set can be made from wire on hand"
	}
	return fmt.Sprintf("%d of %s can be made from wire on hand", held, page.Plural(sets, "standing set", "standing sets"))
}

func standingSpec(r *page.Request) page.Spec[workshop.StandingSet] {
	f := figures{r.Units()}
	spec := page.Spec[workshop.StandingSet]{ID: "sets", Caption: "Standing sets", Path: standingPath, Search: true, Sort: "set",
		Empty: page.Empty{Title: "No standing set yet", Text: "Import a sets.csv, or put a set together on the bench.", Actions: []page.Action{page.Link("To the bench", benchPath)}},
		Choices: []page.Choice[workshop.StandingSet]{{Key: "wire", Label: "Wire for one set", Options: []page.Option{{Value: "yes", Text: "on hand"}, {Value: "no", Text: "lacking"}},
			Keep: func(s workshop.StandingSet, v string) bool { return s.Tension.Held == (v == "yes") }}},
		Columns: []page.Column[workshop.StandingSet]{
			{Key: "set", Head: "Set", Cell: func(s workshop.StandingSet) page.Cell {
				return page.Code(string(s.Code), benchPath+"?set="+url.QueryEscape(string(s.Code)))
			}, Compare: func(a, b workshop.StandingSet) int { return strings.Compare(string(a.Code), string(b.Code)) }},
			{Key: "held", Head: "Wire for one set", Cell: func(s workshop.StandingSet) page.Cell {
				c := page.Cell{Tags: []page.Tag{wireTag(s.Tension.Held)}}
				if !s.Tension.Held {
					c.Note = "for string " + numbers(s.Tension.Lacking)
				}
				return c
			}, Compare: func(a, b workshop.StandingSet) int {
				return cmp.Compare(len(a.Tension.Lacking), len(b.Tension.Lacking))
			}},
			{Key: "total", Head: "Total", Number: true, Cell: func(s workshop.StandingSet) page.Cell { return page.Text(f.pull(s.Tension.TotalN)) },
				Compare: func(a, b workshop.StandingSet) int { return cmp.Compare(a.Tension.TotalN, b.Tension.TotalN) }},
			{Key: "spread", Head: "Spread", Number: true, Cell: func(s workshop.StandingSet) page.Cell { return page.Text(f.percent(s.Tension.SpreadPercent)) },
				Compare: func(a, b workshop.StandingSet) int {
					return cmp.Compare(a.Tension.SpreadPercent, b.Tension.SpreadPercent)
				}},
			{Key: "strings", Head: "Strings", Number: true, Cell: func(s workshop.StandingSet) page.Cell { return page.Text(f.Count(len(s.Positions))) },
				Compare: func(a, b workshop.StandingSet) int { return cmp.Compare(len(a.Positions), len(b.Positions)) }},
			{Head: "Tuning", Cell: func(s workshop.StandingSet) page.Cell { return page.Cell{Text: tuning(s), Note: scales(s, f)} }},
			{Head: "Wound in", Cell: func(s workshop.StandingSet) page.Cell { return page.Text(woundIn(s)) }},
		}}
	if r.May(workshop.Lead, workshop.Bookkeeper) {
		spec.Columns = append(spec.Columns, page.Column[workshop.StandingSet]{Head: "Suggested price", Number: true, Cell: func(s workshop.StandingSet) page.Cell {
			return page.Text(f.money(s.Tension.Currency, s.Tension.Price))
		}})
	}
	return spec
}

func tuning(s workshop.StandingSet) string {
	var all []string
	for _, p := range s.Positions {
		all = append(all, p.Pitch)
	}
	return strings.Join(all, " ")
}

func scales(s workshop.StandingSet, f figures) string {
	var all []string
	for _, p := range s.Positions {
		if text := f.Scale(p.Scale).String(); !slices.Contains(all, text) {
			all = append(all, text)
		}
	}
	if len(all) > 2 {
		return all[0] + " to " + all[len(all)-1]
	}
	return strings.Join(all, ", ")
}

// woundIn names the alloys on the outside of the wound strings, else of all.
func woundIn(s workshop.StandingSet) string {
	var wound, all []string
	for _, t := range s.Tension.Strings {
		if t.Layers > 0 && !slices.Contains(wound, t.Alloy) {
			wound = append(wound, t.Alloy)
		}
		if !slices.Contains(all, t.Alloy) {
			all = append(all, t.Alloy)
		}
	}
	if len(wound) == 0 {
		return "plain " + strings.Join(all, ", ")
	}
	return strings.Join(wound, ", ")
}

func numbers(list []int) string {
	return strings.Trim(strings.Join(strings.Fields(fmt.Sprint(list)), ", "), "[]")
}
