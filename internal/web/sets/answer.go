package sets

import (
	"fmt"
	"math"
	"net/url"
	"strings"

	"windingroom/internal/measure"
	"windingroom/internal/setwork"
	"windingroom/internal/web/chart"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// answerView is how the set on the bench pulls.
type answerView struct {
	Says, Note string
	Ready      bool
	Other      []string // what is wrong with no row
	Stats      []page.Stat
	Strings    page.Table
	Chart      *page.Chart
	Cautions   []string
	Price      []page.Fact
	PriceNotes []string
	Keep       string    // address with this set kept beside itself
	Order      string    // address of the order's entry; empty while a string has no recipe
	Unordered  string    // why it cannot be ordered yet
	Standing   *keepView // nil for who may not

	wrong wrongs
}

// line is one string of the answer.
type line struct {
	setwork.TensionString
	row     row
	jump    *float64                   // from the string before, in percent
	against *setwork.AgainstDifference // beside the other set
	lacking bool
}

func newAnswer(r *page.Request, b bench, parts workshop.SetParts, t setwork.TensionAnswer, other *setwork.TensionAnswer) (v answerView, err error) {
	f := figures{r.Units()}
	v = answerView{Ready: true, wrong: wrongs{}, Cautions: f.cautions(t.Cautions), Price: f.priceFacts(t.PriceAnswer), PriceNotes: t.PriceNotes, Keep: b.keeping().path(benchPath)}
	v.Says = fmt.Sprintf("%s on %s", f.pull(t.TotalN), page.Plural(len(t.Strings), "string", "strings"))
	if t.Against != nil {
		v.Says += comparison(f, b, t)
	}
	v.Stats = stats(f, t)
	lines := linesOf(b, t)
	v.Strings = page.Plain("strings", "String by string", stringColumns(r, b, parts, t), lines)
	if other != nil {
		c, err := compared(f, lines, b, *other)
		if err != nil {
			return v, err
		}
		v.Chart = &c
	}
	v.Order, v.Unordered = b.order(parts, t)
	return v, nil
}

// keeping lays the set beside itself, to see what is changed from now on.
func (b bench) keeping() bench {
	b.with = b.text()
	return b
}

func comparison(f figures, b bench, t setwork.TensionAnswer) string {
	a, name := t.Against, besideName(b)
	if a.Word == "the same" {
		return ", as much as " + name
	}
	say := fmt.Sprintf(", %s than %s by %s", a.Word, name, f.pull(math.Abs(a.TotalDifferenceN)))
	if a.Most > 0 && len(a.Strings) > 1 {
		say += fmt.Sprintf(", most on string %d", a.Most)
	}
	return say
}

func besideName(b bench) string {
	if strings.Contains(b.with, "@") {
		return "the set that was kept"
	}
	return b.with
}

func stats(f figures, t setwork.TensionAnswer) []page.Stat {
	total := f.Tension(measure.Force(t.TotalN))
	all := []page.Stat{{Label: "Total", Number: total.Number, Unit: total.Unit, Note: joined(f.pull(t.MeanN)+" on the mean string", f.ownTotal(t.CalibratedTotal))},
		{Label: "Spread", Number: f.percent(t.SpreadPercent), Note: "strongest less weakest, of the mean"}}
	at, most := 0, 0.0
	for i, j := range t.JumpsPercent {
		if math.Abs(j) > math.Abs(most) {
			at, most = i+1, j
		}
	}
	if at > 0 {
		all = append(all, page.Stat{Label: "Largest jump", Number: f.more(most), Note: fmt.Sprintf("from string %d to %d", at, at+1)})
	}
	wire := page.Stat{Label: "Wire for one set", Number: "on hand", Tone: page.Good}
	if !t.Held {
		wire = page.Stat{Label: "Wire for one set", Number: "lacking", Note: "for string " + numbers(t.Lacking), Tone: page.Wrong}
	}
	if against := t.Against; against != nil {
		all = append(all, page.Stat{Label: "Beside the other", Number: f.more(against.DifferencePercent), Note: against.Word})
	}
	return append(all, wire)
}

func linesOf(b bench, t setwork.TensionAnswer) []line {
	lines := make([]line, len(t.Strings))
	for i, s := range t.Strings {
		lines[i] = line{TensionString: s, row: b.rows[i]}
		if i > 0 {
			lines[i].jump = &t.JumpsPercent[i-1]
		}
		if t.Against != nil && i < len(t.Against.Strings) {
			lines[i].against = &t.Against.Strings[i]
		}
	}
	for _, n := range t.Lacking {
		lines[n-1].lacking = true
	}
	return lines
}

func strongest(lines []line) (most float64) {
	for _, l := range lines {
		most = max(most, l.TensionN)
	}
	return most
}

// stringColumns say first what a phone shows without moving the table: how each string pulls, and beside the other set.
func stringColumns(r *page.Request, b bench, parts workshop.SetParts, t setwork.TensionAnswer) []page.Column[line] {
	f, top := figures{r.Units()}, strongest(linesOf(b, t))
	all := []page.Column[line]{
		{Head: "String", Cell: func(l line) page.Cell { return page.Text(fmt.Sprintf("%d · %s", l.Position, l.row.pitch)) }},
		{Head: "Tension", Number: true, Cell: func(l line) page.Cell {
			c := page.Cell{Text: f.pull(l.TensionN), Fill: f.bar(l.TensionN, top, loads[l.Load])}
			if l.jump != nil {
				c.Note = f.more(*l.jump) + fmt.Sprintf(" from %d", l.Position-1)
			}
			c.Note = joined(c.Note, f.ownPull(l.CalibratedTension))
			return c
		}},
		{Head: "Breaking share", Number: true, Cell: func(l line) page.Cell { return page.Cell{Text: f.share(l.BreakingShare), Tone: loads[l.Load]} }},
	}
	if t.Against != nil {
		all = append(all, page.Column[line]{Head: "Beside", Number: true, Cell: func(l line) page.Cell {
			if l.against == nil {
				return page.Text("no such string")
			}
			return page.Cell{Text: f.more(l.against.DifferencePercent), Note: f.weight(l.against.DifferenceN)}
		}})
	}
	all = append(all, []page.Column[line]{
		{Head: "Made by", Cell: func(l line) page.Cell {
			c := page.Cell{Text: nameOf(l.Recipe, l.Core, l.Wraps), Code: true}
			if l.Recipe != "" {
				c.Note = wiresText(l.Core, l.Wraps)
			}
			return c
		}},
		{Head: "Gauge, alloy", Cell: func(l line) page.Cell {
			return page.Cell{Text: f.gauge(l.GaugeThou), Note: l.Alloy + f.ownGauge(l.CalibratedGauge)}
		}},
	}...)
	return append(all, page.Column[line]{Head: "Wire", Cell: func(l line) page.Cell {
		c := change(r, b, parts, l)
		c.Tags = []page.Tag{wireTag(!l.lacking)}
		return c
	}})
}

// change leads to other wires for a string, or makes a recipe of one that has none.
func change(r *page.Request, b bench, parts workshop.SetParts, l line) page.Cell {
	f := figures{r.Units()}
	if l.Recipe == "" && r.May(workshop.Lead) {
		name := freshName(l.Core, l.Wraps, l.NominalGaugeThou, parts)
		act := page.Button("Make it recipe "+name, recipesPath, "recipe", name, "core", l.Core, "wraps", strings.Join(l.Wraps, "+"), "back", b.taking(l.Position, name).path(benchPath)).As("quiet")
		return page.Cell{Act: &act}
	}
	gauge := f.Size(measure.Size(math.Round(l.NominalGaugeThou * float64(measure.Thou)))).Typed()
	scale := l.row.scale
	if scale == "" {
		scale = b.length
	}
	return page.Cell{Text: "Other wires", Href: b.path(findPath, "gauge", gauge, "alloy", l.Alloy, "at", scale, "note", l.row.pitch, "row", fmt.Sprint(l.Position))}
}

// compared draws the set beside the other one.
func compared(f figures, lines []line, b bench, other setwork.TensionAnswer) (page.Chart, error) {
	n := min(len(lines), len(other.Strings))
	names := make([]string, n)
	here, there := make([]float64, n), make([]float64, n)
	for i, l := range lines[:n] {
		names[i] = fmt.Sprintf("%d %s", l.Position, l.row.pitch)
		here[i], there[i] = f.TensionValue(measure.Force(l.TensionN)), f.TensionValue(measure.Force(other.Strings[i].TensionN))
	}
	return chart.Columns(chart.About{ID: "beside", Title: "On the bench beside " + besideName(b), Desc: "The tension of each string of both sets.", Unit: f.TensionUnit()}, names,
		[]chart.Series{{Name: "on the bench", Values: here}, {Name: besideName(b), Values: there}}, nil, func(v float64) string { return page.Number(v) + " " + f.TensionUnit() })
}

// order leads to the entry of an order with the set as its first line. A set as the shop has it standing is named; any other is spelled out.
func (b bench) order(parts workshop.SetParts, t setwork.TensionAnswer) (to, why string) {
	v := url.Values{"l0-line": {"1"}, "l0-quantity": {"1"}, "l0-set": {""}}
	var without []int
	for i, s := range t.Strings {
		if s.Recipe == "" {
			without = append(without, s.Position)
		}
		at := fmt.Sprintf("l0-s%d-", i)
		scale := b.rows[i].scale
		if scale == "" {
			scale = b.length
		}
		v.Set(at+"position", fmt.Sprint(s.Position))
		v.Set(at+"recipe", s.Recipe)
		v.Set(at+"scale", scale)
		v.Set(at+"pitch", b.rows[i].pitch)
	}
	if len(without) > 0 {
		if len(without) == 1 {
			return "", "String " + numbers(without) + " has no recipe yet: an order takes recipes."
		}
		return "", "Strings " + numbers(without) + " have no recipe yet: an order takes recipes."
	}
	if code := b.standingCode(parts, t); code != "" {
		v = url.Values{"l0-line": {"1"}, "l0-quantity": {"1"}, "l0-set": {code}}
	}
	return "/new-order?" + v.Encode(), ""
}

// standingCode gives the standing set that the bench holds unchanged; empty where there is none.
func (b bench) standingCode(parts workshop.SetParts, t setwork.TensionAnswer) string {
next:
	for _, s := range parts.Sets {
		if len(s.Positions) != len(t.Strings) {
			continue
		}
		for i, p := range s.Positions {
			if string(p.Recipe) != t.Strings[i].Recipe || !strings.EqualFold(p.Pitch, b.rows[i].pitch) || math.Abs(p.Scale.Inches()-t.Strings[i].ScaleIn) > 1e-6 {
				continue next
			}
		}
		return string(s.Code)
	}
	return ""
}
