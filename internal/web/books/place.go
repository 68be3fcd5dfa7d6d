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
	WatchBooks(ctx context.Context, from, to costing.Period, seen func(read, of int), use func(*workshop.Books) error) error
	BooksSize(ctx context.Context, from, to costing.Period) (read, written int, err error)
	Explain(ctx context.Context, month costing.Period, wire material.WireCode, column string) (workshop.Explained, error)

	ExplainValue(ctx context.Context, month costing.Period, wire material.WireCode, column string, formula costing.Formula) (workshop.ExplainedValue, error)
	FamilyMethods(context.Context) ([]workshop.FamilyMethod, error)
	CostMethods(context.Context) ([]workshop.CostMethod, error)
	SetCostMethod(ctx context.Context, m costing.Method, reason string) (workshop.CostMethod, error)

	InvoicesDue(context.Context) (workshop.InvoicesDue, error)
	InvoicePurchase(context.Context, workshop.NewInvoice) (workshop.Invoiced, error)
}

type place struct {
	shop Shop
	runs *runs
}

// Register puts the pages on the engine. Exports that are being written stop when ending does; nil: never.
func Register(site *page.Site, g gin.IRouter, shop Shop, ending context.Context) {
	register(site, g, shop, newRuns(ending, shop))
}

func register(site *page.Site, g gin.IRouter, shop Shop, runs *runs) {
	p, r := place{shop, runs}, site.Place(g, page.Books, workshop.Bookkeeper)
	r.Get("/books", p.periods)

	r.Get("/books/methods", p.methods)
	r.Post("/books/methods", p.choose)
	r.Get("/books/invoices", p.invoices)
	r.Post("/books/invoices", p.invoice)
	r.Get("/books/exports", p.exporting)
	r.Post("/books/exports", p.ask)
	r.Get("/books/exports/file", p.exported)
	r.Post("/books/exports/cancel", p.cancel)
	r.Get("/books/years/:year/books.xlsx", p.download(false))
	r.Get("/books/years/:year/books.zip", p.download(true))

	r.Get("/books/months/:month", p.rollForward)
	r.Get("/books/months/:month/methods", p.byMethod)
	r.Get("/books/months/:month/value", p.value)
	r.Get("/books/months/:month/checks", p.checks)
	r.Get("/books/months/:month/history", p.history)
	r.Get("/books/months/:month/explain", p.explain)
	r.Post("/books/months/:month/close", p.close)
	r.Post("/books/months/:month/reopen", p.reopen)
	r.Get("/books/months/:month/books.xlsx", p.download(false))
	r.Get("/books/months/:month/books.zip", p.download(true))
}

//go:embed templates/*.html
var files embed.FS

var (
	periodsTemplate  = page.Parse(files, "templates/periods.html")
	rollTemplate     = page.Parse(files, "templates/month.html", "templates/roll.html")
	methodTemplate   = page.Parse(files, "templates/month.html", "templates/by_method.html")
	offTemplate      = page.Parse(files, "templates/off.html")
	exportTemplate   = page.Parse(files, "templates/export.html")
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
