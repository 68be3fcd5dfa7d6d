package orders

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/order"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// all shows a page of all orders. There may be tens of thousands, so that the database chooses, sorts and counts them.
func (p place) all(r *page.Request, shown view) (page.Table, error) {
	query := r.Request.URL.Query()
	spec := orderList(r, shown, nil)
	for i, c := range spec.Columns {
		if c.Key == "risk" || c.Key == "strings" { // what is worked out for the page alone
			spec.Columns[i].Compare = nil
		}
	}
	found, err := p.shop.OrderPage(r.Ctx(), pageAsked(query, spec, r.Site.Today()))
	if err != nil {
		return page.Table{}, err
	}
	spec.Choices = allChoices(query, spec.Choices, found.Customers)
	return page.NewPage(query, spec, found.Orders, found.Found, found.Total), nil
}

func pageAsked(query url.Values, spec page.Spec[workshop.OrderStand], today calendar.Date) workshop.OrderQuery {
	q := workshop.OrderQuery{Status: order.Status(query.Get("state")), Customer: query.Get("customer"), Words: strings.Fields(query.Get("q")), Size: page.RowsOnPage}
	by, down := spec.Order(query)
	q.Sort, q.Down = workshop.OrderSort(by), down
	q.Page, _ = strconv.Atoi(query.Get("page")) // anything else is the first page
	switch due := query.Get("due"); due {
	case "":
	case "past":
		q.DueTo = today - 1
	case "week":
		q.DueTo = today + 7
	default:
		if on, err := calendar.ParseDate(due); err == nil {
			q.DueFrom, q.DueTo = on, on
		}
	}
	return q
}

// allChoices offers every state and, where a list of them helps, every customer; what is chosen is among them.
func allChoices(query url.Values, choices []page.Choice[workshop.OrderStand], customers []string) []page.Choice[workshop.OrderStand] {
	for i, c := range choices {
		var options []page.Option
		switch c.Key {
		case "state":
			for _, s := range life {
				options = append(options, page.Option{Value: string(s), Text: string(s)})
			}
		case "customer":
			if len(customers) < workshop.MostCustomers {
				for _, name := range customers {
					options = append(options, page.Option{Value: name, Text: name})
				}
			}
		default:
			options = c.Options
		}
		if chosen := query.Get(c.Key); chosen != "" && !slices.ContainsFunc(options, func(o page.Option) bool { return o.Value == chosen }) {
			options = append(options, page.Option{Value: chosen, Text: chosen})
		}
		choices[i].Options = options
	}
	return choices
}
