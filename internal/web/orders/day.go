package orders

import (
	"fmt"
	"strings"

	"windingroom/internal/order"
	"windingroom/internal/promise"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// dayPage answers which day may be promised for an order, and what would make it earlier.
type dayPage struct {
	page.Frame
	Tabs    []page.Tab
	Head    page.Head
	Facts   []page.Fact
	Earlier []string
	Actions []page.Action
	Hint    string
}

func (p place) day(r *page.Request) (page.Reply, error) {
	code := order.Code(r.Param("order"))
	find, ways := p.shop.FirstDayOf, r.Query("ways") == "yes"
	if ways {
		find = p.shop.PromiseOf
	}
	day, err := find(r.Ctx(), code)
	if err != nil {
		return page.Reply{}, err
	}
	o, u := day.Order, r.Units()
	v := dayPage{Frame: r.Frame("Day of " + string(o.Code)), Tabs: tabs(r, ""), Head: page.Head{Place: "Order " + string(o.Code), Answer: found(r, day), Note: page.Sentence(why(u, day.Answer))}}
	v.Facts = []page.Fact{{Term: "Due", Text: u.Date(o.DueOn)}}
	if !o.PromisedOn.IsZero() {
		v.Facts = append(v.Facts, page.Fact{Term: "Promised for", Text: u.Date(o.PromisedOn)})
	}
	if !day.On.IsZero() {
		how := "by planning the days to come"
		if !day.Planned {
			how = "reckoned beyond the planned days, on the late side"
		}
		v.Facts = append(v.Facts, page.Fact{Term: "Sure to", Text: u.Percent(day.Confidence).String()}, page.Fact{Term: "Found", Text: how})
	}
	for _, w := range day.Earlier {
		v.Earlier = append(v.Earlier, unlock(u, w))
	}
	if r.May(workshop.Lead) && o.Open() && !day.Holds.IsZero() && day.Holds != o.PromisedOn {
		v.Actions = append(v.Actions, page.Button("Promise "+u.ShortDate(day.Holds), orderPath(o.Code)+"/day"))
	}
	switch {
	case !ways && (day.On.IsZero() || day.On > r.Site.Today()):
		v.Actions = append(v.Actions, page.Link("What would make it earlier?", orderPath(o.Code)+"/day?ways=yes"))
		v.Hint = "It tries overtime, earlier receipts and buying one after the other, and may take a minute or more where much is open."
	case ways && len(day.Earlier) == 0:
		v.Hint = "Neither overtime, nor earlier receipts, nor buying would make it earlier."
	}
	v.Actions = append(v.Actions, page.Link("Back to the order", orderPath(o.Code)))
	return page.Show(dayTemplate, v), nil
}

// hold promises the earliest day, found anew: other orders may have come in.
func (p place) hold(r *page.Request) (page.Reply, error) {
	code := order.Code(r.Param("order"))
	story, err := p.shop.HoldPromise(r.Ctx(), code)
	said := page.Done("No day can be promised; it is held to its due day.")
	if on := story.Order.PromisedOn; !on.IsZero() {
		said = page.Done(string(story.Order.Code) + " is promised for " + r.Units().Date(on) + ".")
	}
	return p.done(r, code, said, err)
}

// found says which day may be promised.
func found(r *page.Request, day workshop.PromiseDay) string {
	u, due := r.Units(), day.Order.DueOn
	switch {
	case day.On.IsZero():
		return "No day can be promised as things are"
	case day.On > due:
		return fmt.Sprintf("It can be wound by %s, %s after it is due", u.Date(day.On), page.Plural(int(day.On-due), "day", "days"))
	}
	return fmt.Sprintf("It can be wound by %s, in time for %s", u.Date(day.On), u.ShortDate(due))
}

// why says what decides the day.
func why(u units.Units, a promise.Answer) string {
	d := a.Decides
	switch d.What {
	case promise.Nothing:
		return "nothing stands in the way: it is wound as soon as the machines take it"
	case promise.ByTime:
		if d.Machine == "" {
			return "machine time decides"
		}
		return fmt.Sprintf("machine time decides: %s has no room for all of it before", d.Machine)
	case promise.Arrival:
		return fmt.Sprintf("it waits for %s of purchase %s, counted on from %s", d.Wire, d.Receipt.Purchase, u.Date(d.Receipt.On))
	case promise.ByOrders:
		if len(d.Orders) > 0 {
			return "orders taken on before keep their place: " + strings.Join(page.Texts(d.Orders), ", ")
		}
	case promise.NoWay:
		return "it cannot be made: " + d.Detail
	case promise.ByWire:
		if d.Wire != "" {
			return fmt.Sprintf("wire decides: %s more of %s are needed than there is and is on its way", u.Mass(d.Short), d.Wire)
		}
	}
	return d.Detail
}

// unlock says what would make a day possible.
func unlock(u units.Units, w promise.Unlock) string {
	on := u.Date(w.On)
	switch w.How {
	case promise.Overtime:
		return fmt.Sprintf("%s with %d minutes of overtime a day on %s", on, w.Minutes, w.Machine)
	case promise.EarlierWire:
		return fmt.Sprintf("%s with %s of purchase %s on the shelf %s earlier", on, w.Receipt.Wire, w.Receipt.Purchase, page.Plural(w.Days, "day", "days"))
	case promise.Arrives:
		return fmt.Sprintf("%s if %s of purchase %s, overdue since %s, comes on the next working day", on, w.Receipt.Wire, w.Receipt.Purchase, u.Date(w.Receipt.Stated))
	}
	var buys []string
	for _, b := range w.Buys {
		buys = append(buys, fmt.Sprintf("%s of %s (%s to the shelf)", u.Mass(b.Mass), b.Wire, page.Plural(b.Days, "day", "days")))
	}
	return on + " if bought today: " + strings.Join(buys, ", ")
}
