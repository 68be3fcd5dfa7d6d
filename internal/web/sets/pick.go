package sets

import (
	"fmt"
	"strings"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/setwork"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// wholeView is one whole set that could be taken.
type wholeView struct {
	Title, Note string
	Stats       []page.Stat
	Strings     page.Table
	Cautions    []string
	Price       []page.Fact
	Take        page.Action
}

// optionsView is what else could be at one position.
type optionsView struct {
	ID, Summary string
	Table       page.Table
}

// before is what is at a position now: what it is called and how it pulls, or how it is wanted to pull.
type before struct {
	name   string
	pull   float64
	wanted float64
}

// whole shows a set of the engine's answer and the link that takes it.
func whole(f figures, b bench, id, title string, s setwork.SetAnswer, now []before) wholeView {
	taken := b
	for _, one := range s.Strings {
		taken = taken.taking(one.Position, nameOf(one.Recipe, one.Core, one.Wraps))
	}
	if taken.with == "" {
		taken.with = b.text()
	}
	total := f.Tension(measure.Force(s.TotalN))
	v := wholeView{Title: title, Cautions: f.cautions(s.Cautions), Price: f.priceFacts(s.PriceAnswer), Take: page.Action{Text: "Put this set on the bench", To: taken.path(benchPath)}}
	sum := page.Stat{Label: "Total", Number: total.Number, Unit: total.Unit}
	if s.DifferencePercent != nil {
		sum.Note = f.more(*s.DifferencePercent) + " beside the present set"
	}
	wire := page.Stat{Label: "Wire for one set", Number: "on hand", Tone: page.Good}
	if !s.Held {
		wire.Number, wire.Tone = "lacking", page.Wrong
	}
	if len(s.Strings) < b.used() {
		v.Note = "Where nothing comes near, the string of the bench stays."
	}
	v.Stats = []page.Stat{sum, {Label: "Spread", Number: f.percent(s.SpreadPercent)}, {Label: "Off the wanted pulls", Number: f.percent(s.OffPercent), Note: "root mean square"}, wire}
	v.Strings = page.Plain(id, "String by string", []page.Column[setwork.SetStringAnswer]{
		{Head: "String", Cell: func(s setwork.SetStringAnswer) page.Cell {
			return page.Text(fmt.Sprintf("%d · %s", s.Position, b.rows[s.Position-1].pitch))
		}},
		{Head: now[0].head(), Cell: func(s setwork.SetStringAnswer) page.Cell {
			n := now[s.Position-1]
			if n.name == "" {
				return page.Text(f.pull(n.wanted))
			}
			return page.Cell{Text: n.name, Code: true, Note: f.pull(n.pull)}
		}},
		{Head: "Take", Cell: func(s setwork.SetStringAnswer) page.Cell {
			c := madeCell(f, s.AlternativeAnswer)
			if s.Kept {
				c.Tags = append(c.Tags, page.Tag{Text: "stays", Tone: page.Wait})
			}
			return c
		}},
		{Head: "Tension", Number: true, Cell: func(s setwork.SetStringAnswer) page.Cell {
			return page.Cell{Text: f.pull(s.TensionN), Note: joined(f.more(s.DifferencePercent), f.ownPull(s.CalibratedTension))}
		}},
		{Head: "Breaking share", Number: true, Cell: func(s setwork.SetStringAnswer) page.Cell { return page.Text(f.share(s.BreakingShare)) }},
		{Head: "Wire", Cell: func(s setwork.SetStringAnswer) page.Cell { return page.Cell{Tags: []page.Tag{wireTag(s.Held)}} }},
	}, s.Strings)
	return v
}

func (n before) head() string {
	if n.name == "" {
		return "Wanted"
	}
	return "Now"
}

// madeCell names a string, with its gauge and, where a recipe names it, its wires.
func madeCell(f figures, a setwork.AlternativeAnswer) page.Cell {
	c := page.Cell{Text: nameOf(a.Recipe, a.Core, a.Wraps), Code: true, Note: f.gauge(a.GaugeThou) + f.ownGauge(a.CalibratedGauge)}
	if a.Recipe != "" {
		c.Note += ", " + wiresText(a.Core, a.Wraps)
	}
	return c
}

// options shows the alternatives of one position, each with the link that takes it.
func options(f figures, b bench, number int, wanted float64, list []setwork.AlternativeAnswer, beyond *setwork.AlternativeAnswer) optionsView {
	v := optionsView{ID: fmt.Sprintf("for-%d", number)}
	v.Summary = fmt.Sprintf("String %d, %s: %s", number, b.rows[number-1].pitch, page.Plural(len(list), "way", "ways"))
	if len(list) == 0 && beyond != nil {
		list = []setwork.AlternativeAnswer{*beyond}
		v.Summary = fmt.Sprintf("String %d, %s: nothing within the tolerance, the nearest lies beyond it", number, b.rows[number-1].pitch)
	}
	columns := []page.Column[setwork.AlternativeAnswer]{
		{Head: "Made by", Cell: func(a setwork.AlternativeAnswer) page.Cell { return madeCell(f, a) }},
		{Head: "Tension", Number: true, Cell: func(a setwork.AlternativeAnswer) page.Cell {
			return page.Cell{Text: f.pull(a.TensionN), Note: joined(f.more(a.DifferencePercent), f.ownPull(a.CalibratedTension))}
		}},
		{Head: "Breaking share", Number: true, Cell: func(a setwork.AlternativeAnswer) page.Cell { return page.Text(f.share(a.BreakingShare)) }},
		{Head: "Wire", Cell: func(a setwork.AlternativeAnswer) page.Cell {
			return page.Cell{Tags: []page.Tag{wireTag(a.Held)}, Note: strings.Join(f.cautions(a.Cautions), " ")}
		}},
		{Head: "Choose", Cell: func(a setwork.AlternativeAnswer) page.Cell {
			take := page.Link("Take this one", b.taking(number, nameOf(a.Recipe, a.Core, a.Wraps)).path(benchPath)).As("quiet")
			return page.Cell{Act: &take}
		}},
	}
	v.Table = page.Plain(v.ID, fmt.Sprintf("For %s", f.pull(wanted)), columns, list)
	v.Table.Empty = page.Empty{Title: "The shop has no wire for it", Text: "Allow more tolerance, or wire that is not on the shelf."}
	return v
}

// alloyOptions are the alloys that a string can have on its outside.
func alloyOptions(parts workshop.SetParts, plain bool) []page.Option {
	has := map[material.AlloyCode]bool{}
	for _, w := range parts.Wires {
		has[w.Alloy] = true
	}
	all := []page.Option{{Text: "Choose"}}
	for _, a := range parts.Alloys {
		if a.Wrap || plain && a.Core {
			text := string(a.Code)
			if !has[a.Code] {
				text += " (no wire of it yet)"
			}
			all = append(all, page.Option{Value: string(a.Code), Text: text})
		}
	}
	return all
}
