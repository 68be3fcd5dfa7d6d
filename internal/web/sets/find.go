package sets

import (
	"fmt"
	"strconv"
	"strings"

	"windingroom/internal/estimate"
	"windingroom/internal/measure"
	"windingroom/internal/setwork"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// findPage answers with which wires a gauge can be made.
type findPage struct {
	page.Frame
	Tabs   []page.Tab
	Head   page.Head
	Hidden []page.Pair
	Faults page.Faults
	Fields []page.Field
	Found  *page.Table
	Make   []makeView // of the ways that no recipe winds yet; none for who may not
	Note   string
}

// makeView makes a recipe of wires in one step.
type makeView struct {
	Number                         int
	Wires, Name, Core, Wraps, Back string
}

func (p place) find(r *page.Request) (page.Reply, error) {
	parts, err := p.shop.SetParts(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	query := r.Request.URL.Query()
	b, form, u := readBench(query), page.NewForm(query), r.Units()
	v := findPage{Frame: r.Frame("Find wires"), Tabs: tabs(findPath, b), Head: page.Head{Place: "Sets", Answer: "Which wires make a gauge?"}, Hidden: b.hidden()}
	at, _ := strconv.Atoi(query.Get("row")) // anything else is no row
	if at > 0 && at <= len(b.rows) {
		v.Hidden = append(v.Hidden, page.Pair{Name: "row", Value: strconv.Itoa(at)})
		v.Head.Note = fmt.Sprintf("For string %d of the set on the bench.", at)
	} else {
		at = 0
	}
	if form.Values.Has("gauge") {
		if err := p.found(r, &v, b, form, at, parts); err != nil {
			return page.Reply{}, err
		}
	}
	v.Fields = []page.Field{form.Field("gauge", "Gauge").Required().Number(u.SizeUnit()), form.Field("alloy", "Alloy on the outside").Required().Choice(alloyOptions(parts, true)...),
		form.Field("within", "Within").Number(u.SizeUnit()).Hinted("Empty is half a thousandth of an inch."), form.Field("note", "Pitch").Hinted("With the scale: how it pulls."),
		form.Field("at", "Scale").Number(u.LengthUnit()), form.Field("held", "Only from wire on hand").Check()}
	v.Faults = form.Said(v.Fields...)
	return page.Show(findTemplate, v), nil
}

// found asks the engine and shows the ways it finds, or what it refuses.
func (p place) found(r *page.Request, v *findPage, b bench, form *page.Form, at int, parts workshop.SetParts) error {
	q := setwork.FindRequest{GaugeThou: page.Read(form, "gauge", r.Units().ParseSize).Thou(), Alloy: form.Get("alloy"), Pitch: estimate.Pitch(form.Get("note")), HeldOnly: form.Get("held") == "yes"}
	if form.Get("within") != "" {
		q.Tolerance = new(page.Read(form, "within", r.Units().ParseSize).Thou())
	}
	if form.Get("at") != "" {
		q.ScaleIn = page.Read(form, "at", r.Units().ParseScale).Inches()
	}
	if !form.OK() {
		return nil
	}
	a, err := p.shop.FindWires(r.Ctx(), q)
	if err != nil {
		return form.Refuse(renamed(err, "gauge_thou", "gauge", "tolerance_thou", "within", "scale_in", "at", "pitch", "note"))
	}
	f := figures{r.Units()}
	v.Head.Answer = fmt.Sprintf("%s for %s in %s", page.Plural(len(a.Found)+a.More, "way", "ways"), f.gauge(q.GaugeThou), q.Alloy)
	t := page.Plain("found", "Nearest gauge first", foundColumns(r, b, at, q.Pitch != ""), a.Found)
	t.Empty = page.Empty{Title: "No wires of the shop make it", Text: "Allow more on either side, or wire that is not on the shelf."}
	v.Found = &t
	if a.More > 0 {
		v.Note = page.Plural(a.More, "further way is", "further ways are") + " not shown: ask more narrowly."
	}
	for i, way := range a.Found {
		if way.Recipe != "" || !r.May(workshop.Lead) {
			continue
		}
		name := freshName(way.Core, way.Wraps, way.NominalGaugeThou, parts)
		back := r.Request.URL.RequestURI()
		if at > 0 {
			back = b.taking(at, wiresText(way.Core, way.Wraps)).path(benchPath)
		}
		v.Make = append(v.Make, makeView{i + 1, wiresText(way.Core, way.Wraps), name, way.Core, strings.Join(way.Wraps, "+"), back})
	}
	return nil
}

func foundColumns(r *page.Request, b bench, at int, pitched bool) []page.Column[setwork.Found] {
	f := figures{r.Units()}
	all := []page.Column[setwork.Found]{
		{Head: "Made by", Cell: func(w setwork.Found) page.Cell {
			c := page.Cell{Text: nameOf(w.Recipe, w.Core, w.Wraps), Code: true, Note: "no recipe yet"}
			if w.Recipe != "" {
				c.Note = wiresText(w.Core, w.Wraps)
			}
			return c
		}},
		{Head: "Gauge", Number: true, Cell: func(w setwork.Found) page.Cell {
			return page.Cell{Text: f.gauge(w.GaugeThou), Note: strings.TrimPrefix(f.ownGauge(w.CalibratedGauge), "; ")}
		}}}
	if pitched {
		all = append(all, page.Column[setwork.Found]{Head: "Tension", Number: true, Cell: func(w setwork.Found) page.Cell {
			return page.Cell{Text: f.pull(*w.TensionN), Note: fmt.Sprintf("%s to %s by the wires' tolerance", f.Tension(measure.Force(*w.TensionFromN)).Number, f.pull(*w.TensionToN))}
		}}, page.Column[setwork.Found]{Head: "Breaking share", Number: true, Cell: func(w setwork.Found) page.Cell { return page.Text(f.share(w.BreakingShare)) }})
	}
	all = append(all, page.Column[setwork.Found]{Head: "Pulls at most", Number: true, Cell: func(w setwork.Found) page.Cell {
		if w.TensionMostN == nil {
			return page.Text("not known")
		}
		return page.Cell{Text: f.pull(*w.TensionMostN), Note: strings.Join(f.cautions(w.Cautions), " ")}
	}}, page.Column[setwork.Found]{Head: "Wire", Cell: func(w setwork.Found) page.Cell {
		c := page.Cell{Tags: []page.Tag{wireTag(w.Held)}}
		var free []string
		for _, s := range w.Wires {
			free = append(free, fmt.Sprintf("%s %s", s.Wire, f.Bulk(measure.Mass(s.Kg*float64(measure.Kilogram)))))
		}
		c.Note = strings.Join(free, ", ")
		return c
	}})
	if at > 0 {
		all = append(all, page.Column[setwork.Found]{Head: "Choose", Cell: func(w setwork.Found) page.Cell {
			take := page.Link("Take this one", b.taking(at, nameOf(w.Recipe, w.Core, w.Wraps)).path(benchPath)).As("quiet")
			return page.Cell{Act: &take}
		}})
	}
	return all
}
