package orders

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/order"
	"windingroom/internal/units"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// listPage answers the question of each day: which orders are at risk?
type listPage struct {
	page.Frame
	Tabs    []page.Tab
	Head    page.Head
	Actions []page.Action
	Views   []page.Tab
	Orders  page.Table
}

// view is a part of the orders: show=KEY in the address.
type view struct {
	key, text string
	states    []order.Status
	risky     bool
	empty     page.Empty
}

var views = []view{
	{"", "Open", []order.Status{order.Confirmed, order.Planned}, false, page.Empty{Title: "No order is open", Text: "Take one in, import a folder's files, or confirm a draft."}},
	{"risk", "At risk", []order.Status{order.Confirmed, order.Planned}, true, page.Empty{Title: "No order is at risk", Text: "Each open order has its wire and its machine time by the day it is due."}},
	{"draft", "Drafts", []order.Status{order.Draft}, false, page.Empty{Title: "No drafts", Text: "An order that is kept as a draft waits here; it takes no wire until it is confirmed."}},
	{"ready", "To send", []order.Status{order.Wound, order.Packed}, false, page.Empty{Title: "Nothing waits to be sent", Text: "An order comes here when its last string is wound."}},
	{"all", "All", nil, false, page.Empty{Title: "No order yet", Text: "Take the first one in, or import a folder's files."}},
}

func (p place) list(r *page.Request) (page.Reply, error) {
	query := r.Request.URL.Query()
	shown := views[max(0, slices.IndexFunc(views, func(v view) bool { return v.key == query.Get("show") }))]
	open, err := p.shop.Orders(r.Ctx(), views[0].states...)
	if err != nil {
		return page.Reply{}, err
	}
	var risky []workshop.OrderStand
	for _, o := range open {
		if o.AtRisk() {
			risky = append(risky, o)
		}
	}
	v := listPage{Frame: r.Frame("Orders"), Tabs: tabs(r, "/orders"), Head: page.Head{Place: "Orders", Answer: answer(open, risky), Note: toDo(open)}}
	if r.May(workshop.Lead) {
		v.Actions = []page.Action{{Text: "New order", To: "/new-order"}}
	}
	for _, w := range views {
		tab := page.Tab{Text: w.text, Href: "/orders", Here: w.key == shown.key}
		if w.key != "" {
			tab.Href += "?show=" + w.key
		}
		switch w.key {
		case "":
			tab.Count = r.Units().Count(len(open))
		case "risk":
			tab.Count = r.Units().Count(len(risky))
		}
		v.Views = append(v.Views, tab)
	}
	if v.Orders, err = p.orders(r, shown, open, risky); err != nil {
		return page.Reply{}, err
	}
	return page.Show(listTemplate, v), nil
}

// orders is the table of a view.
func (p place) orders(r *page.Request, shown view, open, risky []workshop.OrderStand) (page.Table, error) {
	list := open
	switch {
	case shown.states == nil:
		return p.all(r, shown)
	case shown.risky:
		list = risky
	case !slices.Contains(shown.states, order.Confirmed):
		var err error
		if list, err = p.shop.Orders(r.Ctx(), shown.states...); err != nil {
			return page.Table{}, err
		}
	}
	return page.NewTable(r.Request.URL.Query(), orderList(r, shown, list), list), nil
}

// mostNamed bounds the orders that the answer names.
const mostNamed = 3

// answer says how many of the open orders are at risk, and names the first.
func answer(open, risky []workshop.OrderStand) string {
	switch {
	case len(open) == 0:
		return "No order is open"
	case len(risky) == 0 && len(open) == 1:
		return "The one open order is not at risk"
	case len(risky) == 0:
		return fmt.Sprintf("None of %d open orders is at risk", len(open))
	}
	names := make([]string, 0, mostNamed)
	for _, o := range risky[:min(mostNamed, len(risky))] {
		names = append(names, string(o.Order.Code))
	}
	more := ""
	if n := len(risky) - len(names); n > 0 {
		more = fmt.Sprintf(" and %d more", n)
	}
	are := "are"
	if len(risky) == 1 {
		are = "is"
	}
	return fmt.Sprintf("%d of %s %s at risk: %s%s", len(risky), page.Plural(len(open), "open order", "open orders"), are, strings.Join(names, ", "), more)
}

// toDo counts what is at risk why.
func toDo(open []workshop.OrderStand) string {
	late, wire, time := 0, 0, 0
	for _, o := range open {
		if o.Late {
			late++
		}
		if len(o.Short) > 0 {
			wire++
		}
		if o.NoTime && !o.Late {
			time++
		}
	}
	var parts []string
	for _, c := range []struct {
		n    int
		text string
	}{{late, "past the due day"}, {wire, "short of wire that nothing on its way brings in time"}, {time, "with more to wind than the machines have minutes for"}} {
		if c.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", c.n, c.text))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return page.Sentence(strings.Join(parts, ", "))
}

func orderList(r *page.Request, shown view, list []workshop.OrderStand) page.Spec[workshop.OrderStand] {
	u, today := r.Units(), r.Site.Today()
	spec := page.Spec[workshop.OrderStand]{ID: "orders", Caption: shown.text + " orders", Path: "/orders", Keep: []string{"show"}, Search: true, Sort: "due", Empty: shown.empty,
		Columns: []page.Column[workshop.OrderStand]{
			{Key: "order", Head: "Order", Cell: func(o workshop.OrderStand) page.Cell { return page.Code(string(o.Order.Code), orderPath(o.Order.Code)) },
				Compare: func(a, b workshop.OrderStand) int { return cmp.Compare(a.Order.Code, b.Order.Code) }},
			{Key: "risk", Head: "Risk", Cell: risk, Compare: func(a, b workshop.OrderStand) int { return cmp.Compare(grade(b), grade(a)) }},
			{Key: "due", Head: "Due", Cell: func(o workshop.OrderStand) page.Cell {
				return page.Cell{Text: near(u, o.Order.DueOn, today), Note: away(o, today)}
			},
				Compare: func(a, b workshop.OrderStand) int {
					return cmp.Or(cmp.Compare(a.Order.DueOn, b.Order.DueOn), cmp.Compare(a.Order.Code, b.Order.Code))
				}},
			{Key: "customer", Head: "Customer", Cell: func(o workshop.OrderStand) page.Cell { return page.Text(o.Order.Customer) },
				Compare: func(a, b workshop.OrderStand) int { return strings.Compare(a.Order.Customer, b.Order.Customer) }},
			{Key: "state", Head: "State", Cell: func(o workshop.OrderStand) page.Cell { return page.Cell{Tags: []page.Tag{stateTag(o.Order.Status)}} },
				Compare: func(a, b workshop.OrderStand) int { return cmp.Compare(rank(a.Order.Status), rank(b.Order.Status)) }},
			{Key: "strings", Head: "Strings", Number: true, Cell: func(o workshop.OrderStand) page.Cell {
				c := page.Text(u.Count(o.Order.StringCount()))
				switch all := o.Order.StringCount(); {
				case !o.Order.Open() || o.Left == all:
				case o.Left == 0:
					c.Note = "all planned"
				default:
					c.Note = u.Count(o.Left) + " to plan"
				}
				return c
			}, Compare: func(a, b workshop.OrderStand) int { return cmp.Compare(a.Order.StringCount(), b.Order.StringCount()) }},
		}}
	spec.Choices = choices(u.Date, today, list)
	return spec
}

// choices filters by state, customer and due day, of those that there are.
func choices(date func(calendar.Date) string, today calendar.Date, list []workshop.OrderStand) []page.Choice[workshop.OrderStand] {
	states, customers, days := []page.Option(nil), []page.Option(nil), []page.Option{{Value: "past", Text: "before today"}, {Value: "week", Text: "within 7 days"}}
	seen := map[string]bool{}
	add := func(options *[]page.Option, kind, value, text string) {
		if !seen[kind+value] {
			seen[kind+value] = true
			*options = append(*options, page.Option{Value: value, Text: text})
		}
	}
	for _, o := range list {
		add(&states, "state ", string(o.Order.Status), string(o.Order.Status))
		add(&customers, "customer ", o.Order.Customer, o.Order.Customer)
		add(&days, "due ", o.Order.DueOn.String(), date(o.Order.DueOn))
	}
	slices.SortFunc(states, func(a, b page.Option) int {
		return cmp.Compare(rank(order.Status(a.Value)), rank(order.Status(b.Value)))
	})
	slices.SortFunc(customers, func(a, b page.Option) int { return strings.Compare(strings.ToLower(a.Text), strings.ToLower(b.Text)) })
	return []page.Choice[workshop.OrderStand]{
		{Key: "state", Label: "State", Options: states, Keep: func(o workshop.OrderStand, v string) bool { return string(o.Order.Status) == v }},
		{Key: "customer", Label: "Customer", Options: customers, Keep: func(o workshop.OrderStand, v string) bool { return o.Order.Customer == v }},
		{Key: "due", Label: "Due", Options: days, Keep: func(o workshop.OrderStand, v string) bool {
			switch v {
			case "past":
				return o.Order.DueOn < today
			case "week":
				return o.Order.DueOn <= today+7
			}
			return o.Order.DueOn.String() == v
		}},
	}
}

// away says how far the due day of an order that is not gone is.
func away(o workshop.OrderStand, today calendar.Date) string {
	switch days := int(o.Order.DueOn - today); {
	case o.Order.Status == order.Shipped || o.Order.Status == order.Cancelled:
		return ""
	case days == 0:
		return "today"
	case days < 0:
		return page.Plural(-days, "day ago", "days ago")
	default:
		return "in " + page.Plural(days, "day", "days")
	}
}

// near leaves the year away where nobody takes the day for one of another year.
func near(u units.Units, day, today calendar.Date) string {
	if day > today-180 && day < today+180 {
		return u.ShortDate(day)
	}
	return u.Date(day)
}

func risk(o workshop.OrderStand) page.Cell {
	var c page.Cell
	var notes []string
	if o.Late {
		c.Tags = append(c.Tags, page.Tag{Text: "late", Tone: page.Wrong})
	}
	if len(o.Short) > 0 {
		c.Tags = append(c.Tags, page.Tag{Text: "wire short", Tone: page.Wrong})
		notes = append(notes, strings.Join(page.Texts(o.Short), ", "))
	}
	if o.NoTime && !o.Late {
		c.Tags = append(c.Tags, page.Tag{Text: "no time", Tone: page.Wrong})
	}
	if len(o.Waits) > 0 {
		c.Tags = append(c.Tags, page.Tag{Text: "wire on its way", Tone: page.Wait})
		notes = append(notes, strings.Join(page.Texts(o.Waits), ", "))
	}
	c.Note = strings.Join(notes, ", ")
	return c
}

// grade sorts by risk.
func grade(o workshop.OrderStand) int {
	switch {
	case o.Late:
		return 3
	case o.AtRisk():
		return 2
	case len(o.Waits) > 0:
		return 1
	}
	return 0
}

var life = []order.Status{order.Draft, order.Confirmed, order.Planned, order.Wound, order.Packed, order.Shipped, order.Cancelled}

func rank(s order.Status) int { return slices.Index(life, s) }
