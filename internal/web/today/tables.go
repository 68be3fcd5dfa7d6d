package today

import (
	"cmp"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"windingroom/internal/batch"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/requirements"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
)

func batchPath(code batch.Code) string { return "/batches/" + string(code) }

// orderPath is the page of an order, for those to whom the place of orders is open; empty for others.
func orderPath(r *page.Request, code order.Code) string {
	if !r.Offers(page.Orders) {
		return ""
	}
	return "/orders/" + url.PathEscape(string(code))
}

// orderLinks leads to the pages of some orders.
func orderLinks(r *page.Request, codes []order.Code) (list []page.Cell) {
	for _, code := range codes {
		list = append(list, page.Code(string(code), orderPath(r, code)))
	}
	return list
}

// inUnits gives the cautions of a batch in the shop's units.
func inUnits(u units.Units, list []batch.Caution) (all []string) {
	for _, c := range list {
		all = append(all, c.In(func(m measure.Mass) string { return u.Mass(m).String() }, func(s measure.Size) string { return u.Size(s).String() }))
	}
	return all
}

func joined(texts []string) string { return strings.Join(texts, ", ") }

// batchesTable lists the batches of the day, all machines in one list that can be narrowed.
func batchesTable(r *page.Request, d day) page.Table {
	var machines []page.Option
	for _, m := range d.plan.Machines {
		machines = append(machines, page.Option{Value: string(m.Machine), Text: string(m.Machine)})
	}
	var states []page.Option
	for _, s := range []string{proposed, waiting, running, wound} {
		states = append(states, page.Option{Value: s, Text: s})
	}
	spec := page.Spec[batch.Batch]{ID: "batches", Caption: "Batches", Path: "/", Keep: []string{"date"}, Search: true, Columns: batchColumns(r, d), Choices: []page.Choice[batch.Batch]{
		{Key: "machine", Label: "Machine", Options: machines, Keep: func(b batch.Batch, v string) bool { return string(b.Machine) == v }},
		{Key: "state", Label: "State", Options: states, Keep: func(b batch.Batch, v string) bool { return d.state(b) == v }},
	}}
	return page.NewTable(r.Request.URL.Query(), spec, slices.Collect(d.batches()))
}

func batchColumns(r *page.Request, d day) []page.Column[batch.Batch] {
	place := func(a, b batch.Batch) int {
		return cmp.Or(cmp.Compare(a.Machine, b.Machine), cmp.Compare(a.Sequence, b.Sequence))
	}
	return []page.Column[batch.Batch]{
		{Key: "place", Head: "Place", Compare: place, Cell: func(b batch.Batch) page.Cell {
			return page.Cell{Text: fmt.Sprintf("%s, %d", b.Machine, b.Sequence), Href: batchPath(b.Code), Note: string(b.Code), Code: true}
		}},
		{Key: "recipe", Head: "Recipe", Compare: func(a, b batch.Batch) int {
			return cmp.Or(cmp.Compare(a.Recipe, b.Recipe), cmp.Compare(a.Scale, b.Scale), place(a, b))
		}, Cell: func(b batch.Batch) page.Cell {
			return page.Cell{Text: string(b.Recipe), Code: true, Note: d.units.Scale(b.Scale).String()}
		}},
		{Key: "wind", Head: "Wind", Number: true, Compare: func(a, b batch.Batch) int { return cmp.Or(cmp.Compare(a.ToWind, b.ToWind), place(a, b)) }, Cell: func(b batch.Batch) page.Cell {
			return page.Cell{Text: fmt.Sprint(b.ToWind), Note: fmt.Sprintf("for %d", b.Ordered)}
		}},
		{Key: "setup", Head: "Setup", Number: true, Compare: func(a, b batch.Batch) int { return cmp.Or(cmp.Compare(a.Setup, b.Setup), place(a, b)) },
			Cell: func(b batch.Batch) page.Cell { return page.Text(d.units.Duration(b.Setup)) }},
		{Key: "begins", Head: "Begins", Number: true, Compare: func(a, b batch.Batch) int { return cmp.Or(cmp.Compare(a.Starts, b.Starts), place(a, b)) },
			Cell: func(b batch.Batch) page.Cell {
				return page.Cell{Text: d.clock(b.Starts), Note: "to " + d.clock(b.Ends)}
			}},
		{Head: "State", Cell: func(b batch.Batch) page.Cell { return page.Cell{Tags: d.tags(b), Note: d.far(b)} }},
		{Head: "Spools", Cell: func(b batch.Batch) page.Cell { return page.Text(joined(spoolsOf(b))) }},
		{Head: "Orders", Cell: func(b batch.Batch) page.Cell {
			codes, more := few(ordersOf(b))
			return page.Cell{Codes: orderLinks(r, codes), More: more}
		}},
	}
}

// tags says where a batch stands.
func (d day) tags(b batch.Batch) []page.Tag {
	tones := map[string]page.Tone{proposed: page.Wait, running: page.Good}
	state := d.state(b)
	tags := []page.Tag{{Text: state, Tone: tones[state]}}
	if slices.Contains(d.plan.Pinned, b.Code) {
		tags = append(tags, page.Tag{Text: "pinned"})
	}
	if d.late(b) {
		tags = append(tags, page.Tag{Text: "behind", Tone: page.Wrong})
	}
	if d.servesLate(b) {
		tags = append(tags, page.Tag{Text: "late order", Tone: page.Wrong})
	}
	return tags
}

// far says how far a batch that was begun is.
func (d day) far(b batch.Batch) string {
	p := d.progress.Of[b.Code]
	strings, good := p.Wound()
	if strings == 0 {
		return ""
	}
	if scrap := strings - good; scrap > 0 {
		return fmt.Sprintf("%d good, %d scrapped", good, scrap)
	}
	return fmt.Sprintf("%d good", good)
}

// few gives the first of some codes and counts the rest.
func few(codes []order.Code) (first []order.Code, more string) {
	const most = 3
	if more := len(codes) - most; more > 1 {
		return codes[:most], fmt.Sprintf(" and %d more", more)
	}
	return codes, ""
}

func spoolsOf(b batch.Batch) (list []string) {
	for _, draw := range b.Draws {
		if !slices.Contains(list, string(draw.Spool)) {
			list = append(list, string(draw.Spool))
		}
	}
	return list
}

func ordersOf(b batch.Batch) (list []order.Code) {
	for _, s := range b.Serves {
		if !slices.Contains(list, s.Order) {
			list = append(list, s.Order)
		}
	}
	return list
}

// changesTable lists what became of batches since the last plan.
func changesTable(d day) page.Table {
	return page.Plain("changes", "What differs from the plan before", []page.Column[planning.Difference]{
		{Head: "Batch", Cell: func(x planning.Difference) page.Cell {
			if x.What == planning.WentOut {
				return page.Code(string(x.Batch), "")
			}
			return page.Code(string(x.Batch), batchPath(x.Batch))
		}},
		{Head: "What", Cell: func(x planning.Difference) page.Cell { return page.Text(x.What) }},
		{Head: "Strings", Cell: func(x planning.Difference) page.Cell {
			return page.Cell{Text: string(x.Recipe), Code: true, Note: d.units.Scale(x.Scale).String()}
		}},
		{Head: "Was", Cell: func(x planning.Difference) page.Cell { return spot(x.From, x.Was) }},
		{Head: "Is", Cell: func(x planning.Difference) page.Cell {
			c := spot(x.To, x.Is)
			if x.What == planning.Redrawn {
				c.Note = "from other spools"
			}
			return c
		}},
	}, d.plan.Differences)
}

func spot(s planning.Spot, ordered int) page.Cell {
	if s.Machine == "" {
		return page.Text("")
	}
	return page.Cell{Text: fmt.Sprintf("%s, %d", s.Machine, s.Place), Note: fmt.Sprintf("%d ordered", ordered)}
}

func leftTable(r *page.Request, d day) page.Table {
	list, _ := leftOvers(d.plan.NotPlanned)
	return page.Plain("left", "Not planned", []page.Column[leftOver]{
		{Head: "Order", Cell: func(l leftOver) page.Cell { return page.Code(string(l.Order), orderPath(r, l.Order)) }},
		{Head: "Line", Number: true, Cell: func(l leftOver) page.Cell { return page.Text(fmt.Sprint(l.Line)) }},
		{Head: "Positions", Cell: func(l leftOver) page.Cell { return page.Text(l.Positions) }},
		{Head: "Strings", Number: true, Cell: func(l leftOver) page.Cell { return page.Text(fmt.Sprint(l.Strings)) }},
		{Head: "Why", Cell: func(l leftOver) page.Cell { return page.Cell{Text: l.Why, Note: page.Reworded(d.units, l.Detail)} }},
	}, list)
}

func shortTable(r *page.Request, d day, list []requirements.Shortage) page.Table {
	return page.Plain("short", "Wire that is short", []page.Column[requirements.Shortage]{
		{Head: "Wire", Cell: func(s requirements.Shortage) page.Cell {
			return page.Code(string(s.Wire), "/wire/wires/"+string(s.Wire))
		}},
		{Head: "Short", Number: true, Cell: func(s requirements.Shortage) page.Cell {
			return page.Cell{Text: d.units.Mass(s.Short).String(), Tone: page.Wrong}
		}},
		{Head: "Needed", Number: true, Cell: func(s requirements.Shortage) page.Cell { return page.Text(d.units.Mass(s.Needed).String()) }},
		{Head: "Free", Number: true, Cell: func(s requirements.Shortage) page.Cell { return page.Text(d.units.Mass(s.Drawable).String()) }},
		{Head: "Holds up", Cell: func(s requirements.Shortage) page.Cell { return page.Cell{Codes: orderLinks(r, s.Orders)} }},
	}, list)
}
