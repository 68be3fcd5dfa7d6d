package orders

import (
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strings"

	"windingroom/internal/intake"
	"windingroom/internal/order"
	"windingroom/internal/problem"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// entryPage takes an order in, or changes one, and works it out meanwhile.
type entryPage struct {
	page.Frame
	Tabs    []page.Tab
	Head    page.Head
	To      string // address that the form posts to
	Faults  page.Faults
	Fields  []page.Field // of the head; none for who only asks
	Lines   []entryLine
	Recipes []recipeOption
	Changes bool // an order that the shop has
	Keeps   bool // may keep what is typed
	Scale   string
	Result  resultView
}

// entryLine is a line to be typed.
type entryLine struct {
	Index         int
	Title         string
	Line          page.Field
	Set, Quantity page.Field
	Rows          []entryRow
	First         bool // the only one
}

type entryRow struct {
	Index                          int
	Position, Recipe, Scale, Pitch page.Field
}

type recipeOption struct{ Code, Gauge string }

// resultView is what is worked out of what is typed.
type resultView struct {
	Answer string
	Wait   bool // what it says is to be looked at
	Takes  takesView
	Unread []string
	Day    string // that can be promised, and why that one; empty where nobody asked
}

func (p place) newForm(r *page.Request) (page.Reply, error) {
	choices, err := p.shop.OrderChoices(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	w := written{order: string(choices.Next), ordered: r.Site.Today().String(), lines: []writtenLine{freshLine(1)}}
	if lines := readWritten(page.NewForm(r.Request.URL.Query())).lines; len(lines) > 0 { // a set that comes from the bench
		w.lines = lines
	}
	return p.showEntry(r, entry{choices: choices, written: w, form: page.NewForm(w.values())}, page.Show)
}

func (p place) changeForm(r *page.Request) (page.Reply, error) {
	story, err := p.shop.Order(workshop.WithoutDay(r.Ctx()), order.Code(r.Param("order")))
	if err != nil {
		return page.Reply{}, err
	}
	choices, err := p.shop.OrderChoices(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	w := writtenOf(story.Order, r.Units())
	return p.showEntry(r, entry{choices: choices, written: w, form: page.NewForm(w.values()), of: story.Order.Code}, page.Show)
}

// entry is a form on its way.
type entry struct {
	choices workshop.OrderChoices
	written written
	form    *page.Form
	of      order.Code // that is changed; empty for a new one
	focus   string     // field that was just added
	typed   bool       // faults show only where something was typed
	quiet   bool       // the faults stand there already
	day     string     // what was found of the day it can be wound by
}

func (p place) add(r *page.Request) (page.Reply, error) { return p.typed(r, "") }

func (p place) change(r *page.Request) (page.Reply, error) {
	return p.typed(r, order.Code(r.Param("order")))
}

// typed answers the form: works it out, changes its lines, or keeps it.
func (p place) typed(r *page.Request, of order.Code) (page.Reply, error) {
	f, err := r.Form()
	if err != nil {
		return page.Reply{}, err
	}
	choices, err := p.shop.OrderChoices(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	e := entry{choices: choices, written: readWritten(f), form: f, of: of, typed: true}
	if of != "" {
		e.written.order = string(of)
	}
	do, at, _ := strings.Cut(f.Get("do"), " ")
	switch do {
	case "draft", "confirm", "change":
		return p.keep(r, e, do)
	case "day":
		if e, err = p.findDay(r, e); err != nil {
			return page.Reply{}, err
		}
	case "line", "string", "drop", "spell":
		e.focus = e.written.edit(do, at, choices, r.Units())
		e.form = page.NewForm(e.written.values())
	}
	return p.showEntry(r, e, page.Show)
}

// keep takes the order in or changes it, or shows what is wrong.
func (p place) keep(r *page.Request, e entry, do string) (page.Reply, error) {
	form, rows := e.written.ask(e.form, r.Units())
	var story workshop.OrderStory
	var err error
	if e.form.OK() {
		if do == "change" {
			story, err = p.shop.ChangeOrder(workshop.WithoutDay(r.Ctx()), e.of, form)
		} else {
			story, err = p.shop.AddOrder(workshop.WithoutDay(r.Ctx()), form, do == "confirm")
		}
	}
	if e.form.OK() && err == nil {
		code := story.Order.Code
		said := page.Done(string(code) + " is kept as a draft. It takes no wire until it is confirmed.")
		switch do {
		case "confirm":
			said = confirmed(r, story)
		case "change":
			said = page.Done(string(code) + " is changed.")
		}
		return r.Back(orderPath(code), said, nil)
	}
	if err != nil && (!r.May(workshop.Lead) || !known(err)) {
		return page.Reply{}, err
	}
	var problems intake.Problems
	switch {
	case errors.As(err, &problems):
		mark(e.form, rows, problems, false)
	case errors.Is(err, workshop.ErrExists):
		e.form.Mark("order", errors.New("is another order's code already"))
	case err != nil:
		if err := e.form.Refuse(err); err != nil {
			return page.Reply{}, err
		}
	}
	e.quiet = true
	return p.showEntry(r, e, page.Refused)
}

// findDay looks for the day that could be promised for what is typed, all of which it needs for that.
func (p place) findDay(r *page.Request, e entry) (entry, error) {
	form, rows := e.written.ask(e.form, r.Units())
	if !e.form.OK() {
		return e, nil
	}
	day, err := p.shop.FirstDayFor(r.Ctx(), form)
	var problems intake.Problems
	switch {
	case errors.As(err, &problems):
		mark(e.form, rows, problems, false)
		e.quiet = true
	case err != nil:
		return e, err
	default:
		e.day = page.Sentence(found(r, day)) + " " + page.Sentence(why(r.Units(), day.Answer))
	}
	return e, nil
}

func (p place) showEntry(r *page.Request, e entry, as func(*template.Template, any) page.Reply) (page.Reply, error) {
	f, keeps := e.form, r.May(workshop.Lead)
	v := entryPage{Frame: r.Frame("New order"), Tabs: tabs(r, "/new-order"), To: "/new-order", Keeps: keeps, Changes: e.of != "", Scale: r.Units().LengthUnit()}
	v.Head = page.Head{Place: "Orders", Answer: "New order"}
	switch {
	case v.Changes:
		v.Title, v.Tabs, v.To, v.Head.Answer = "Change "+string(e.of), tabs(r, ""), orderPath(e.of)+"/change", "Change "+string(e.of)
		v.Head.Note = "Strings that are in released batches, or wound, cannot be taken away."
	case !keeps:
		v.Title, v.Head.Answer, v.Head.Note = "What would it take?", "What would it take?", "Nothing is kept: a lead or an owner takes orders in."
	}
	var err error
	if v.Result, err = p.result(r, &e); err != nil {
		return page.Reply{}, err
	}
	if keeps || v.Changes {
		if !v.Changes {
			code := f.Field("order", "Order").Required().Hinted("Its code: letters, digits, dot, dash.")
			code.Complete = "off"
			v.Fields = append(v.Fields, code)
		}
		customer := f.Field("customer", "Customer").Required()
		customer.Complete = "off"
		v.Fields = append(v.Fields, customer, f.Field("ordered_on", "Ordered on").Required().Date())
	}
	v.Fields = append(v.Fields, f.Field("due_on", "Due on").Required().Date())
	all := slices.Clone(v.Fields)
	sets := setOptions(e)
	for i, l := range e.written.lines {
		line := entryLine{Index: i, Title: fmt.Sprintf("Line %s", l.number), First: len(e.written.lines) == 1, Line: hidden(f, lineField(i, "line")),
			Set: f.Field(lineField(i, "set"), "Set").Choice(sets...).Required(), Quantity: f.Field(lineField(i, "quantity"), "How many sets").Whole("").Required()}
		all = append(all, line.Set, line.Quantity)
		for j := range l.rows {
			w := newEntryRow(f, i, j)
			if w.Position.Name == e.focus || w.Recipe.Name == e.focus {
				w.Recipe.Focus = true
			}
			line.Rows = append(line.Rows, w)
			all = append(all, w.Position, w.Recipe, w.Scale, w.Pitch)
		}
		line.Set.Focus = line.Set.Name == e.focus
		v.Lines = append(v.Lines, line)
	}
	for _, c := range e.choices.Recipes {
		v.Recipes = append(v.Recipes, recipeOption{string(c.Code), r.Units().Size(c.Gauge).String()})
	}
	v.Faults = f.Said(all...)
	if e.typed && !e.quiet {
		v.Faults = page.Faults{} // still being typed: the fields say it
	}
	return as(entryTemplate, v).Fragment("takes", "result"), nil
}

func hidden(f *page.Form, name string) page.Field {
	h := f.Field(name, name)
	h.Type = "hidden"
	return h
}

func newEntryRow(f *page.Form, i, j int) entryRow {
	at := func(name, label string) page.Field {
		c := f.Field(rowField(i, j, name), fmt.Sprintf("%s, line %d row %d", label, i+1, j+1))
		c.Hint = label // seen on a phone, where no heads stand above
		return c
	}
	return entryRow{j, at("position", "String"), at("recipe", "Recipe"), at("scale", "Scale"), at("pitch", "Pitch")}
}

// setOptions are the standing sets, and those of an order that is changed which no longer stand.
func setOptions(e entry) []page.Option {
	all := []page.Option{{Value: "", Text: "A custom set, string by string"}}
	for _, s := range e.choices.Sets {
		all = append(all, page.Option{Value: string(s.Code), Text: fmt.Sprintf("%s, %s", s.Code, page.Plural(len(s.Positions), "string", "strings"))})
	}
	for _, l := range e.written.lines {
		if e.of != "" && !slices.ContainsFunc(all, func(o page.Option) bool { return strings.EqualFold(o.Value, l.set) }) {
			all = append(all, page.Option{Value: l.set, Text: l.set + ", as it was ordered"})
		}
	}
	return all
}

// result works out what is typed so far.
func (p place) result(r *page.Request, e *entry) (v resultView, err error) {
	form, rows := e.written.ask(e.form, r.Units())
	v.Day = e.day
	story, unread, err := p.shop.WouldTake(r.Ctx(), form)
	if err != nil {
		return v, err
	}
	if !e.quiet {
		mark(e.form, rows, unread, true)
	}
	for _, u := range unread {
		if name := fieldOf(rows, u.Column); e.form.Get(name) != "" {
			v.Unread = append(v.Unread, u.Text)
		}
	}
	if len(story.Order.Lines) == 0 {
		v.Answer = "Choose a set, or type a recipe, its scale and its pitch: what it takes stands here."
		return v, nil
	}
	if v.Takes, err = p.takes(r, story, false); problem.From(err).Status < http.StatusInternalServerError && err != nil {
		v.Answer, v.Wait = problem.From(err).Sentence(), true
		return v, nil
	}
	strings := page.Plural(story.Order.StringCount(), "string", "strings")
	due := ""
	if _, wrong := e.form.Wrong["due_on"]; e.written.due != "" && !wrong {
		due = " by " + r.Units().ShortDate(story.Order.DueOn)
	}
	if lacks := short(story.Wires); lacks != "" {
		v.Answer, v.Wait = strings+", short of "+lacks+due, true
	} else {
		v.Answer = strings + ", and the wire for them is there" + due
	}
	return v, err
}
