package books

import (
	"strconv"

	"windingroom/internal/costing"
	"windingroom/internal/money"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// monthPage is what the pages of a month begin with.
type monthPage struct {
	page.Frame
	Head  page.Head
	Tabs  []page.Tab
	Stats []page.Stat
	Acts  []page.Action
}

// monthTabs are the pages of a month.
func monthTabs(r *page.Request, m costing.Period, here string) []page.Tab {
	at := monthPath(m)
	return r.Tabs(at+here, page.Tab{Text: "Roll-forward", Href: at}, page.Tab{Text: "By method", Href: at + "/methods"}, page.Tab{Text: "Value", Href: at + "/value"}, page.Tab{Text: "Checks", Href: at + "/checks"},
		page.Tab{Text: "Closing", Href: at + "/history"})
}

// month makes the books of the month in the path and shows a page of them.
func (p place) month(r *page.Request, here string, show func(monthPage, *workshop.Books) page.Reply) (reply page.Reply, err error) {
	m, err := monthOf(r)
	if err != nil {
		return page.Reply{}, err
	}
	err = p.shop.Books(r.Ctx(), m, m, func(b *workshop.Books) error {
		v := monthPage{Frame: r.Frame("Books of " + named(m)), Head: tiesOut(b), Tabs: monthTabs(r, m, here)}
		reply = show(v, b)
		return nil
	})
	return reply, err
}

// tiesOut is the answer of a month's pages.
func tiesOut(b *workshop.Books) page.Head {
	h := page.Head{Place: "Books", Answer: named(b.From) + " ties out: all " + strconv.Itoa(len(b.Checks)) + " checks 0"}
	off := 0
	for _, c := range b.Checks {
		if c.Difference() != 0 {
			off++
		}
	}
	if off > 0 {
		h.Answer = named(b.From) + " does not tie out: " + page.Plural(off, "check differs", "checks differ") + " of " + strconv.Itoa(len(b.Checks))
	}
	if n := len(b.Closed); n > 0 {
		h.Note = "Closed by " + b.Closed[n-1].ClosedBy + "; nothing posts into it any more."
	}
	return h
}

// figures print quantities of a month as its pages do.
type figures struct {
	r        *page.Request
	month    costing.Period
	currency money.Currency
	method   string // whose figures they are, as addresses name it; empty: the ledger's own
}

func figuresOf(r *page.Request, b *workshop.Books) figures {
	return figures{r: r, month: b.From, currency: b.Currency}
}

// by gives the figures of a cost formula; the books' own method of each wire is inBooks.
func (f figures) by(method string) figures {
	f.method = method
	return f
}

// inBooks stands in addresses for the method by which the books value a wire.
const inBooks = "books"

// mass prints a mass exactly, without its unit.
func (f figures) mass(q costing.Quantity) string { return f.r.Units().MassExact(q.Mass).Number }

// money prints an amount without its currency.
func (f figures) money(m money.Minor) string { return f.r.Units().Money(f.currency, m).Number }

// unit is that of mass.
func (f figures) unit() string { return f.r.Units().MassExact(0).Unit }

func (f figures) why(wire, column string) string {
	return explainPath(f.month, wire, column, f.method)
}
