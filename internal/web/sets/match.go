package sets

import (
	"fmt"
	"strconv"
	"strings"

	"windingroom/internal/setwork"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// matchPage answers what the set on the bench is in another alloy.
type matchPage struct {
	page.Frame
	Tabs    []page.Tab
	Head    page.Head
	Hidden  []page.Pair
	Faults  page.Faults
	Fields  []page.Field
	Whole   *wholeView
	Others  []optionsView
	Nothing page.Empty // where there is no set to match
}

func (p place) match(r *page.Request) (page.Reply, error) {
	parts, err := p.shop.SetParts(r.Ctx())
	if err != nil {
		return page.Reply{}, err
	}
	query := r.Request.URL.Query()
	b, form := readBench(query), page.NewForm(query)
	v := matchPage{Frame: r.Frame("In another alloy"), Tabs: tabs(matchPath, b), Head: page.Head{Place: "Sets", Answer: "This set in another alloy"}, Hidden: b.hidden("pickup")}
	set, nothing := b.ready(r, parts)
	if v.Nothing = nothing; nothing.Title == "" && form.Get("alloy") != "" {
		q := setwork.MatchRequest{Set: set, Alloy: form.Get("alloy"), HeldOnly: form.Get("held") == "yes", MagneticPickup: b.pickup}
		if text := form.Get("tolerance"); text != "" {
			q.Tolerance = new(page.Read(form, "tolerance", percent))
		}
		if text := form.Get("lighter"); text != "" {
			q.PlainLighter = page.Read(form, "lighter", percent)
		}
		if form.OK() {
			if err := p.matched(r, &v, b, form, q); err != nil {
				return page.Reply{}, err
			}
		}
	}
	v.Fields = []page.Field{form.Field("alloy", "Alloy of the wound strings").Required().Choice(alloyOptions(parts, false)...),
		form.Field("tolerance", "Within").Number("%").Hinted(fmt.Sprintf("Of the present tension; empty is %d.", setwork.DefaultTolerance)),
		form.Field("lighter", "Plain strings lighter by").Number("%"), form.Field("held", "Only from wire on hand").Check(), form.Field("pickup", "Magnetic pickup").Check()}
	v.Faults = form.Said(v.Fields...)
	return page.Show(matchTemplate, v), nil
}

// matched asks the engine and shows what it answers, or what it refuses.
func (p place) matched(r *page.Request, v *matchPage, b bench, form *page.Form, q setwork.MatchRequest) error {
	a, err := p.shop.MatchSet(r.Ctx(), q)
	if err != nil {
		return form.Refuse(renamed(err, "tolerance_percent", "tolerance", "plain_lighter_percent", "lighter"))
	}
	f := figures{r.Units()}
	var now []before
	near := 0
	for i, pos := range a.Positions {
		now = append(now, before{name: b.rows[i].made, pull: pos.TensionN, wanted: pos.WantedN})
		v.Others = append(v.Others, options(f, b, pos.Position, pos.WantedN, pos.Alternatives, pos.Beyond))
		if len(pos.Alternatives) > 0 {
			near++
		}
	}
	w := whole(f, b, "recommended", "Recommended set in "+a.Alloy, a.Recommended, now)
	v.Whole = &w
	v.Head.Answer = fmt.Sprintf("In %s, %d of %s have a match", a.Alloy, near, page.Plural(len(a.Positions), "string", "strings"))
	return nil
}

// ready gives the set on the bench where it can be read; else what to say instead.
func (b bench) ready(r *page.Request, parts workshop.SetParts) (setwork.SetOf, page.Empty) {
	act := []page.Action{page.Link("To the bench", b.path(benchPath))}
	if b.used() == 0 {
		return setwork.SetOf{}, page.Empty{Title: "There is no set on the bench", Text: "Lay a standing set there, or type its strings, and come back.", Actions: act}
	}
	set, wrong := b.set(parts, r.Units())
	if len(wrong) > 0 {
		return set, page.Empty{Title: "The set on the bench is not whole yet", Text: "Something is missing or cannot be read.", Actions: act}
	}
	return set, page.Empty{}
}

func percent(text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(text, "%")), 64)
	if err != nil || !(v >= 0 && v <= 100) {
		return 0, fmt.Errorf("%q is not a number of percent from 0 to 100", text)
	}
	return v, nil
}
