package sets

import (
	"fmt"
	"net/http"
	"strings"

	"windingroom/internal/problem"
	"windingroom/internal/setwork"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// benchPage answers how the set on the bench pulls.
type benchPage struct {
	page.Frame
	Tabs    []page.Tab
	Head    page.Head
	Load    page.Field // a standing set to lay on the bench
	Rows    []rowView
	Suggest []string
	Length  page.Field
	Tune    tuneView
	With    page.Field
	Pickup  page.Field
	Beside  string // ids of what a computing renews beside the answer
	More    bool   // there is room for one string more
	Answer  answerView
}

// rowView is one string to be typed.
type rowView struct {
	Number             int
	Made, Pitch, Scale string
	Wrong              []string
}

// bench shows the bench. A step that changes it leads to the address of what lies there then.
func (p place) bench(r *page.Request) (page.Reply, error) {
	parts, err := p.shop.SetParts(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	q, u := r.Request.URL.Query(), r.Units()
	b := readBench(q)
	if code := q.Get("set"); code != "" {
		set := standingOf(parts, code)
		if set == nil {
			return page.Reply{}, fmt.Errorf("set %s: %w", code, workshop.ErrNotFound)
		}
		b = standing(*set, u)
	}
	form := asked(q)
	if do := q.Get("do"); do != "" {
		if b = b.do(do, form, u); form.OK() {
			return page.Redirect(b.path(benchPath)), nil
		}
	}
	v, err := p.onBench(r, b, parts, form, page.NewForm(nil))
	return page.Show(benchTemplate, v), err
}

// onBench shows what lies on the bench: tune is what was asked of all strings at once, keep how it was to be kept.
func (p place) onBench(r *page.Request, b bench, parts workshop.SetParts, tune, keep *page.Form) (v benchPage, err error) {
	u := r.Units()
	v = benchPage{Frame: r.Frame("Bench"), Tabs: tabs(benchPath, b), Head: page.Head{Place: "Sets"}, Suggest: suggestions(parts)}
	if v.Answer, err = p.answer(r, b, parts, keep); err != nil {
		return v, err
	}
	v.Head.Answer, v.Head.Note = v.Answer.Says, v.Answer.Note
	form := page.NewForm(b.values())
	form.Wrong = v.Answer.wrong
	v.Load = page.NewForm(nil).Field("set", "Standing set").Choice(setOptions(parts, "Choose")...).Required()
	v.Length = form.Field("length", "Scale of all strings").Number(u.LengthUnit()).Hinted("But for those that name their own.")
	v.Tune = newTune(tune, u)
	v.With = form.Field("with", "Beside it").Choice(besideOptions(parts, b)...)
	v.Pickup = form.Field("pickup", "Magnetic pickup").Check()
	for len(b.rows) < fewest {
		b.rows = append(b.rows, row{})
	}
	ids := []string{"#bench-head", "#bench-tabs"}
	for i, one := range b.rows {
		w := rowView{Number: i + 1, Made: one.made, Pitch: one.pitch, Scale: one.scale}
		for _, kind := range []struct{ key, name string }{{"string", ""}, {"pitch", "Pitch "}, {"scale", "Scale "}} {
			if text := v.Answer.wrong[fmt.Sprintf("%s-%d", kind.key, i+1)]; text != "" {
				w.Wrong = append(w.Wrong, page.Sentence(kind.name+text))
			}
		}
		v.Rows = append(v.Rows, w)
		ids = append(ids, fmt.Sprintf("#why-%d", i+1))
	}
	v.Beside, v.More = strings.Join(ids, ","), len(b.rows) < most
	return v, nil
}

// step changes the bench: one row more or less, every pitch a semitone up or down. A pitch that cannot be read stays.
func (b bench) step(do string) bench {
	for len(b.rows) < fewest && do == "more" {
		b.rows = append(b.rows, row{})
	}
	switch do {
	case "more":
		if len(b.rows) < most {
			b.rows = append(b.rows, row{})
		}
	case "less":
		b.rows = b.rows[:max(1, len(b.rows)-1)]
	case "up":
		return b.moved(1)
	case "down":
		return b.moved(-1)
	}
	return b
}

func suggestions(parts workshop.SetParts) []string {
	var all []string
	for _, c := range parts.Recipes {
		all = append(all, string(c.Code))
	}
	for _, w := range parts.Wires {
		all = append(all, string(w.Code))
	}
	return all
}

func setOptions(parts workshop.SetParts, none string) []page.Option {
	all := []page.Option{{Text: none}}
	for _, s := range parts.Sets {
		all = append(all, page.Option{Value: string(s.Code), Text: string(s.Code)})
	}
	return all
}

func besideOptions(parts workshop.SetParts, b bench) []page.Option {
	all := setOptions(parts, "No other set")
	if strings.Contains(b.with, "@") {
		all = append(all, page.Option{Value: b.with, Text: "the set that was kept"})
	}
	return all
}

// answer asks the engine about what is on the bench.
func (p place) answer(r *page.Request, b bench, parts workshop.SetParts, keep *page.Form) (v answerView, err error) {
	if b.used() == 0 {
		return answerView{Says: "What set is it to be?", Note: "Lay a standing set on the bench, or type its strings: a recipe or core + wraps, with pitch and scale.",
			wrong: wrongs{}}, nil
	}
	set, wrong := b.set(parts, r.Units())
	v.wrong = wrong
	q := setwork.TensionRequest{Set: set, MagneticPickup: b.pickup}
	if b.with != "" {
		if q.Reference, err = b.beside(parts, r.Units()); err != nil {
			return v.refused(err)
		}
	}
	if len(wrong) > 0 {
		v.Says, v.Note = "Not computed yet", "Something is missing or cannot be read."
		return v, nil
	}
	t, err := p.shop.SetTension(r.Ctx(), q)
	if err != nil {
		return v.refused(err)
	}
	var other *setwork.TensionAnswer
	if b.with != "" {
		o, err := p.shop.SetTension(r.Ctx(), setwork.TensionRequest{Set: q.Reference})
		if err != nil {
			return v, err
		}
		other = &o
	}
	if v, err = newAnswer(r, b, parts, t, other); r.May(workshop.Lead) {
		v.Standing = newKeep(b, parts, t, keep)
	}
	return v, err
}

// refused shows what the engine refused; what is no refusal comes back.
func (v answerView) refused(err error) (answerView, error) {
	if problem.From(err).Status >= http.StatusInternalServerError {
		return v, err
	}
	rest, err := v.wrong.take(err)
	if err != nil {
		return v, err
	}
	v.Says, v.Note = "Not computed yet", "Something is missing or cannot be read."
	for _, text := range rest {
		v.Other = append(v.Other, page.Sentence(text))
		v.wrong["with"] = "cannot be compared"
	}
	return v, nil
}
