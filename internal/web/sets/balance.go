package sets

import (
	"errors"
	"fmt"

	"windingroom/internal/estimate"
	"windingroom/internal/measure"
	"windingroom/internal/setwork"
	"windingroom/internal/web/page"
)

// balancePage answers which strings would pull as somebody wants, at the scales and pitches of the set on the bench.
type balancePage struct {
	page.Frame
	Tabs    []page.Tab
	Head    page.Head
	Hidden  []page.Pair
	Faults  page.Faults
	Fields  []page.Field
	Wholes  []wholeView
	Others  []optionsView
	Nothing page.Empty
}

func (p place) balance(r *page.Request) (page.Reply, error) {
	parts, err := p.shop.SetParts(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	query := r.Request.URL.Query()
	b, form, f := readBench(query), page.NewForm(query), figures{r.Units()}
	v := balancePage{Frame: r.Frame("Balance"), Tabs: tabs(balancePath, b), Head: page.Head{Place: "Sets", Answer: "How should each string pull?"}, Hidden: b.hidden("pickup")}
	set, nothing := b.ready(r, parts)
	mean := ""
	if v.Nothing = nothing; nothing.Title == "" {
		now, err := p.shop.SetTension(r.Ctx(), setwork.TensionRequest{Set: set})
		switch {
		case err != nil:
			_, other := wrongs{}.take(err)
			if other != nil {
				return page.Reply{}, other
			}
			v.Nothing = page.Empty{Title: "The set on the bench is not whole yet", Text: "Something is missing or cannot be read.", Actions: []page.Action{page.Link("To the bench", b.path(benchPath))}}
		case form.Get("alloy") != "":
			if err := p.balanced(r, &v, b, form, now); err != nil {
				return page.Reply{}, err
			}
		}
		mean = f.Tension(measure.Force(now.MeanN)).Typed()
	}
	unit := r.Units().TensionUnit()
	equal := form.Field("equal", "The same on each").Number(unit)
	if !form.Values.Has("alloy") {
		equal = equal.Starting(mean).Hinted("The mean of the present set.")
	}
	v.Fields = []page.Field{form.Field("alloy", "Alloy of the wound strings").Required().Choice(alloyOptions(parts, false)...), equal,
		form.Field("first", "Or from the first string").Number(unit), form.Field("last", "evenly to the last").Number(unit),
		form.Field("like", "Or as each string of").Choice(setOptions(parts, "No set")...),
		form.Field("tolerance", "Within").Number("%").Hinted(fmt.Sprintf("Empty is %d.", setwork.DefaultTolerance)),
		form.Field("either", "A string may change between plain and wound").Check(), form.Field("held", "Only from wire on hand").Check(), form.Field("pickup", "Magnetic pickup").Check()}
	v.Faults = form.Said(v.Fields...)
	return page.Show(balanceTemplate, v), nil
}

// balanced asks the engine and shows what it answers, or what it refuses.
func (p place) balanced(r *page.Request, v *balancePage, b bench, form *page.Form, now setwork.TensionAnswer) error {
	q := wanted(r, b, form, now)
	if !form.OK() {
		return nil
	}
	a, err := p.shop.BalanceSet(r.Ctx(), q)
	if err != nil {
		return form.Refuse(renamed(err, "tolerance_percent", "tolerance", "equal_n", "equal", "first_n", "first", "last_n", "last", "reference", "like"))
	}
	f := figures{r.Units()}
	var before []before
	near := 0
	for _, pos := range a.Positions {
		before = append(before, wantedPull(pos.WantedN))
		v.Others = append(v.Others, options(f, b, pos.Position, pos.WantedN, pos.Alternatives, pos.Beyond))
		if len(pos.Alternatives) > 0 {
			near++
		}
	}
	for i, s := range a.Answers {
		v.Wholes = append(v.Wholes, whole(f, b, fmt.Sprintf("whole-%d", i+1), "Best by "+s.By, s, before))
	}
	v.Head.Answer = fmt.Sprintf("%d of %s can pull as wanted", near, page.Plural(len(a.Positions), "string", "strings"))
	return nil
}

func wantedPull(n float64) before { return before{wanted: n} }

// wanted reads the form: how each string is to pull.
func wanted(r *page.Request, b bench, form *page.Form, now setwork.TensionAnswer) setwork.BalanceRequest {
	q := setwork.BalanceRequest{Alloy: form.Get("alloy"), HeldOnly: form.Get("held") == "yes", MagneticPickup: b.pickup}
	for i, s := range now.Strings {
		w := setwork.WantedString{ScaleIn: s.ScaleIn, Pitch: estimate.Pitch(b.rows[i].pitch)}
		if form.Get("either") != "yes" {
			w.Plain = new(s.Layers == 0)
		}
		q.Set = append(q.Set, w)
	}
	for _, field := range []struct {
		name string
		into **float64
	}{{"equal", &q.Equal}, {"first", &q.First}, {"last", &q.Last}} {
		if form.Get(field.name) != "" {
			*field.into = new(float64(page.Read(form, field.name, r.Units().ParseTension)))
		}
	}
	if code := form.Get("like"); code != "" {
		q.Reference = setwork.SetOf{Standing: code}
	}
	if form.Get("tolerance") != "" {
		q.Tolerance = new(page.Read(form, "tolerance", percent))
	}
	ways := 0
	for _, given := range []bool{q.Equal != nil, q.First != nil || q.Last != nil, q.Reference.Standing != ""} {
		if given {
			ways++
		}
	}
	if ways != 1 {
		form.Mark("equal", errors.New("say one: the same on each, from the first to the last, or as another set"))
	}
	return q
}
