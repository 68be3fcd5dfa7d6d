// Package books is the bookkeeper's place: which month can be closed, what a month amounts to and where each of its numbers comes from,
// the workbooks, by which method the books value an alloy, and what suppliers are still to invoice.
package books

import (
	"context"
	"embed"

	"github.com/gin-gonic/gin"

	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/problem"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// Shop is what the place asks of the shop.
type Shop interface {
	NextClosing(context.Context) (workshop.Outlook, error)
	Months(context.Context) ([]workshop.Month, error)
	CloseMonth(context.Context, costing.Period) (workshop.Period, error)
	ReopenMonth(ctx context.Context, month costing.Period, reason string) error

	Books(ctx context.Context, from, to costing.Period, use func(*workshop.Books) error) error
	Explain(ctx context.Context, month costing.Period, wire material.WireCode, column string) (workshop.Explained, error)

	FamilyMethods(context.Context) ([]workshop.FamilyMethod, error)
	CostMethods(context.Context) ([]workshop.CostMethod, error)
	SetCostMethod(ctx context.Context, m costing.Method, reason string) (workshop.CostMethod, error)

	InvoicesDue(context.Context) (workshop.InvoicesDue, error)
	InvoicePurchase(context.Context, workshop.NewInvoice) (workshop.Invoiced, error)
}

type place struct{ shop Shop }

// Register puts the pages on the engine.
func Register(site *page.Site, g gin.IRouter, shop Shop) {
	p, r := place{shop}, site.Place(g, page.Books, workshop.Bookkeeper)
	r.Get("/books", p.periods)

	r.Get("/books/methods", p.methods)
	r.Post("/books/methods", p.choose)
	r.Get("/books/invoices", p.invoices)
	r.Post("/books/invoices", p.invoice)
	r.Get("/books/years/:year/books.xlsx", p.yearBook)
	r.Get("/books/years/:year/books.zip", p.yearCSV)

	r.Get("/books/months/:month", p.rollForward)
	r.Get("/books/months/:month/value", p.value)
	r.Get("/books/months/:month/checks", p.checks)
	r.Get("/books/months/:month/history", p.history)
	r.Get("/books/months/:month/explain", p.explain)
	r.Post("/books/months/:month/close", p.close)
	r.Post("/books/months/:month/reopen", p.reopen)
	r.Get("/books/months/:month/books.xlsx", p.monthBook)
	r.Get("/books/months/:month/books.zip", p.monthCSV)
}

//go:embed templates/*.html
var files embed.FS

var (
	periodsTemplate  = page.Parse(files, "templates/periods.html")
	rollTemplate     = page.Parse(files, "templates/month.html", "templates/roll.html")
	valueTemplate    = page.Parse(files, "templates/month.html", "templates/value.html")
	checksTemplate   = page.Parse(files, "templates/month.html", "templates/checks.html")
	historyTemplate  = page.Parse(files, "templates/month.html", "templates/history.html")
	explainTemplate  = page.Parse(files, "templates/explain.html")
	methodsTemplate  = page.Parse(files, "templates/methods.html")
	invoicesTemplate = page.Parse(files, "templates/invoices.html")
)

// tabs are the parts of the place.
func tabs(r *page.Request, here string) []page.Tab {
	return r.Tabs(here, page.Tab{Text: "Months", Href: "/books"}, page.Tab{Text: "Invoices due", Href: "/books/invoices"}, page.Tab{Text: "Methods", Href: "/books/methods"})
}

// monthOf reads the month of the path.
func monthOf(r *page.Request) (costing.Period, error) {
	m, err := costing.ParsePeriod(r.Param("month"))
	if err != nil {
		return 0, problem.At("month", err)
	}
	return m, nil
}

// named gives a month in words: February 2026.
func named(m costing.Period) string { return m.First().Time().Format("January 2006") }

func monthPath(m costing.Period) string { return "/books/months/" + m.String() }

// keeps says whether who is signed in keeps the books.
func keeps(r *page.Request) bool { return r.May(workshop.Bookkeeper) }
