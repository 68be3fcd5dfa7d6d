package orders

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"windingroom/internal/estimate"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/order"
	"windingroom/internal/problem"
	"windingroom/internal/requirements"
	"windingroom/internal/setwork"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// takesView is what an order takes: its strings at pitch, and its wire.
type takesView struct {
	Lines     []lineView
	Wires     page.Table
	Shortages []shortageView
	Wound     bool // nothing of it is still to be made
	Kept      bool // of an order that the shop has
}

// lineView is one line with what its set does at pitch.
type lineView struct {
	Number   int
	Title    string
	Strings  page.Table
	Total    string // tension of the set
	Cautions []string
	Fault    string // why its tension cannot be told
	Cost     string // of one set; empty for whoever sees no prices
	Notes    []string
}

// shortageView is a wire that does not reach to the order.
type shortageView struct {
	Wire, Needed, There string
	Others              []string // orders that it does not reach to either
}

// stringRow is one string with its tension and how far it is made.
type stringRow struct {
	order.String
	pull             *setwork.TensionString
	ordered          int
	good, open, left int // good strings; in released batches; in none
}

// takes works out what a story's order takes. kept adds how far it is made.
func (p place) takes(r *page.Request, story workshop.OrderStory, kept bool) (takesView, error) {
	v := takesView{Kept: kept, Wound: len(story.Open) == 0}
	for _, l := range story.Order.Lines {
		line, err := p.line(r, story, l, kept)
		if err != nil {
			return v, err
		}
		v.Lines = append(v.Lines, line)
	}
	v.Wires = page.Plain("wires", "Wire it takes", wireColumns(r, story, kept), story.Wires)
	u := r.Units()
	for _, s := range story.Shortages {
		others := slices.DeleteFunc(page.Texts(s.Orders), func(code string) bool { return code == string(story.Order.Code) })
		v.Shortages = append(v.Shortages, shortageView{string(s.Wire), u.Mass(s.Needed).String(), u.Mass(s.Drawable).String(), others})
	}
	return v, nil
}

func (p place) line(r *page.Request, story workshop.OrderStory, l order.Line, kept bool) (lineView, error) {
	u := r.Units()
	v := lineView{Number: l.Number, Title: fmt.Sprintf("%s of %s", page.Plural(l.Quantity, "set", "sets"), l.Set)}
	if l.Set == "" {
		v.Title = page.Plural(l.Quantity, "custom set", "custom sets")
	}
	ask := setwork.TensionRequest{Quantity: l.Quantity, Batched: l.Set != ""}
	for _, s := range l.Strings {
		ask.Set.Strings = append(ask.Set.Strings, setwork.SetString{Recipe: string(s.Recipe), ScaleIn: s.Scale.Inches(), Pitch: estimate.Pitch(s.Pitch)})
	}
	pull, err := p.shop.SetTension(r.Ctx(), ask)
	switch told := problem.From(err); {
	case err == nil:
		v.Total, v.Cautions = u.Tension(measure.Force(pull.TotalN)).String(), setwork.Texts(pull.Cautions, func(f measure.Force) string { return u.Tension(f).String() })
		if r.May(workshop.Lead, workshop.Bookkeeper) {
			v.Cost, v.Notes = cost(pull.PriceAnswer), pull.PriceNotes
		}
	case told.Status < http.StatusInternalServerError:
		v.Fault = told.Sentence()
	default:
		return v, err
	}
	rows := make([]stringRow, len(l.Strings))
	for i, s := range l.Strings {
		rows[i] = stringRow{String: s, ordered: l.Quantity}
		if i < len(pull.Strings) {
			rows[i].pull = &pull.Strings[i]
		}
		for _, g := range story.Good {
			if g.Line == l.Number && g.Position == s.Position {
				rows[i].good += g.Strings
			}
		}
		rows[i].left = leftOf(story.Open, l.Number, s.Position)
		if story.Order.Open() {
			rows[i].open = max(0, rows[i].ordered-rows[i].good-rows[i].left)
		}
	}
	v.Strings = page.Plain(fmt.Sprintf("line-%d", l.Number), fmt.Sprintf("Line %d: %s", l.Number, v.Title), stringColumns(r, kept), rows)
	return v, nil
}

func leftOf(open []requirements.Demand, line, position int) (n int) {
	for _, d := range open {
		if d.Line == line && d.Position == position {
			n += d.Strings
		}
	}
	return n
}

// cost says what one set costs.
func cost(a setwork.PriceAnswer) string {
	if a.WireCost == nil || a.Price == nil {
		return ""
	}
	c := money.Currency(a.Currency)
	text := func(amount float64) string { return strconv.FormatFloat(amount, 'f', c.Decimals(), 64) }
	return fmt.Sprintf("One set: wire %s, labour %s, suggested price %s %s", text(*a.WireCost), text(a.LabourCost), text(*a.Price), c)
}

func stringColumns(r *page.Request, kept bool) []page.Column[stringRow] {
	u := r.Units()
	counted := func(head string, n func(stringRow) int) page.Column[stringRow] {
		return page.Column[stringRow]{Head: head, Number: true, Cell: func(s stringRow) page.Cell { return page.Text(u.Count(n(s))) }}
	}
	all := []page.Column[stringRow]{
		{Head: "String", Number: true, Cell: func(s stringRow) page.Cell { return page.Text(u.Count(s.Position)) }},
		{Head: "Recipe, gauge", Cell: func(s stringRow) page.Cell {
			c := page.Code(string(s.Recipe), "")
			if s.pull == nil {
				return c
			}
			if size, err := measure.SizeFromThou(s.pull.GaugeThou); err == nil {
				c.Note = u.Size(size).String()
			}
			return c
		}},
		{Head: "Pitch, scale", Cell: func(s stringRow) page.Cell { return page.Cell{Text: s.Pitch, Note: u.Scale(s.Scale).String()} }},
		{Head: "Tension", Number: true, Cell: func(s stringRow) page.Cell {
			if s.pull == nil {
				return page.Text("–")
			}
			c := page.Text(u.Tension(measure.Force(s.pull.TensionN)).String())
			if s.pull.BreakingShare != nil {
				c.Note = u.Percent(*s.pull.BreakingShare).String()
			}
			return c
		}},
	}
	if !kept {
		return append(all, counted("To make", func(s stringRow) int { return s.left }))
	}
	return append(all, counted("Good", func(s stringRow) int { return s.good }),
		counted("In batches", func(s stringRow) int { return s.open }), counted("To plan", func(s stringRow) int { return s.left }))
}

func wireColumns(r *page.Request, story workshop.OrderStory, kept bool) []page.Column[workshop.OrderWire] {
	u := r.Units()
	by := max(story.Order.DueOn, r.Site.Today())
	all := []page.Column[workshop.OrderWire]{
		{Head: "Wire", Cell: func(w workshop.OrderWire) page.Cell { return page.Code(string(w.Wire), wirePath(w.Wire)) }},
		{Head: "Takes", Number: true, Cell: func(w workshop.OrderWire) page.Cell { return page.Text(u.Mass(w.Needed).String()) }},
	}
	if kept && story.Order.Open() {
		all = append(all, page.Column[workshop.OrderWire]{Head: "Held for it", Number: true, Cell: func(w workshop.OrderWire) page.Cell { return page.Text(u.Mass(w.Mass).String()) }})
	}
	return append(all,
		page.Column[workshop.OrderWire]{Head: "Free by " + u.ShortDate(by), Number: true, Cell: func(w workshop.OrderWire) page.Cell {
			if w.Available < 0 {
				return page.Cell{Text: u.Mass(0).String(), Note: u.Mass(-w.Available).String() + " promised too often"}
			}
			return page.Text(u.Mass(w.Available).String())
		}},
		page.Column[workshop.OrderWire]{Head: "Short", Number: true, Cell: func(w workshop.OrderWire) page.Cell {
			if w.Lacks() == 0 {
				return page.Text("–")
			}
			return page.Cell{Text: u.Mass(w.Lacks()).String(), Tone: page.Wrong}
		}},
		page.Column[workshop.OrderWire]{Head: "All there from", Cell: func(w workshop.OrderWire) page.Cell {
			switch {
			case w.From.IsZero():
				return page.Cell{Tags: []page.Tag{{Text: "none coming", Tone: page.Wrong}}}
			case w.From <= r.Site.Today():
				return page.Text("now")
			}
			return page.Text(u.Date(w.From))
		}})
}

// short says which wires an order lacks, for a sentence.
func short(wires []workshop.OrderWire) string {
	var all []string
	for _, w := range wires {
		if w.Lacks() > 0 {
			all = append(all, string(w.Wire))
		}
	}
	return strings.Join(all, ", ")
}
