// Package buying is the place of what the shop buys: the morning's list and its answers, each wire's outlook, purchases from proposed to
// closed, the suppliers.
package buying

import (
	"context"
	"embed"
	"net/url"

	"github.com/gin-gonic/gin"

	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/purchase"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// Shop is what the place asks of the shop.
type Shop interface {
	Reorder(context.Context) (workshop.NightReport, error)
	RunNight(context.Context, calendar.Date) (workshop.NightReport, error)
	AnswerAlert(ctx context.Context, wire material.WireCode, reason string, until calendar.Date) (workshop.NightReport, error)
	WireBuying(context.Context, material.WireCode) (workshop.WireBuying, error)
	SetTerms(context.Context, workshop.TermsForm) (workshop.Terms, error)
	Suppliers(context.Context) ([]workshop.SupplierStory, error)

	Purchases(context.Context, workshop.PurchaseFilter) ([]workshop.PurchaseStory, error)
	Purchase(context.Context, purchase.Code) (workshop.PurchaseStory, error)
	PurchaseHistory(context.Context, purchase.Code) ([]workshop.AuditEntry, error)
	ProposePurchases(ctx context.Context, night calendar.Date, supplier string) ([]workshop.PurchaseStory, error)
	AddPurchase(context.Context, workshop.PurchaseForm) (workshop.PurchaseStory, error)
	ChangePurchase(ctx context.Context, code purchase.Code, version int, form workshop.PurchaseForm) (workshop.PurchaseStory, error)
	SendPurchase(context.Context, purchase.Code, workshop.Sending) (workshop.PurchaseStory, error)
	CancelPurchase(ctx context.Context, code purchase.Code, reason string) (workshop.PurchaseStory, error)
	ClosePurchase(ctx context.Context, code purchase.Code, reason string) (workshop.PurchaseStory, error)
	ReceivePurchase(ctx context.Context, code purchase.Code, d *intake.Delivery, invoice intake.Invoice, delivery string, complete bool) (workshop.PurchaseReceived, error)
	PurchaseLabels(context.Context, purchase.Code) ([]workshop.SpoolLabel, error)
	Receiving(context.Context) (workshop.Receiving, error)
}

type place struct{ shop Shop }

// Register puts the place's pages on the engine.
func Register(site *page.Site, g gin.IRouter, shop Shop) {
	p, r := place{shop}, site.Place(g, page.Buying, workshop.Lead, workshop.Bookkeeper)
	r.Get("/buying", p.morning)
	r.Post("/buying/answers", p.answer)
	r.Post("/buying/night", p.checkNow)

	r.Get("/buying/wires", p.wires)
	r.Get("/buying/wires/:wire", p.wire)
	r.Post("/buying/wires/:wire/terms", p.setTerms)

	r.Get("/buying/purchases", p.purchases)
	r.Post("/buying/purchases", p.propose)
	r.Get("/buying/purchases/new", p.newForm)
	r.Post("/buying/purchases/new", p.add)
	r.Get("/buying/purchases/:purchase", p.purchase)
	r.Get("/buying/purchases/:purchase/change", p.changeForm)
	r.Post("/buying/purchases/:purchase/change", p.change)
	r.Post("/buying/purchases/:purchase/send", p.send)
	r.Post("/buying/purchases/:purchase/cancel", p.cancel)
	r.Post("/buying/purchases/:purchase/close", p.close)
	r.Get("/buying/purchases/:purchase/receive", p.receiveForm)
	r.Post("/buying/purchases/:purchase/receive", p.receive)
	r.Get("/buying/purchases/:purchase/order.xlsx", p.order)
	r.Get("/buying/purchases/:purchase/labels.xlsx", p.labels)

	r.Get("/buying/suppliers", p.suppliers)
}

//go:embed templates/*.html
var files embed.FS

var (
	morningTemplate   = page.Parse(files, "templates/morning.html")
	listTemplate      = page.Parse(files, "templates/list.html")
	wireTemplate      = page.Parse(files, "templates/wire.html")
	purchaseTemplate  = page.Parse(files, "templates/purchase.html")
	writeTemplate     = page.Parse(files, "templates/write.html")
	receiveTemplate   = page.Parse(files, "templates/receive.html")
	suppliersTemplate = page.Parse(files, "templates/suppliers.html")
)

// tabs are the parts of the place. The nightly jobs stand beside them: they make the morning's list.
func tabs(r *page.Request, here string) []page.Tab {
	return r.Tabs(here, page.Tab{Text: "This morning", Href: "/buying"}, page.Tab{Text: "Wires", Href: "/buying/wires"}, page.Tab{Text: "Purchases", Href: "/buying/purchases"},
		page.Tab{Text: "Suppliers", Href: "/buying/suppliers"}, page.Tab{Text: "Nightly jobs", Href: "/jobs"})
}

func wirePath(w material.WireCode) string { return "/buying/wires/" + url.PathEscape(string(w)) }
func purchasePath(c purchase.Code) string { return "/buying/purchases/" + url.PathEscape(string(c)) }

// orderPath leads to an order, where the shop's pages have orders.
func orderPath(r *page.Request, code string) string {
	if !r.Offers(page.Orders) {
		return ""
	}
	return page.Orders.Path + "/" + url.PathEscape(code)
}

// mayBuy says whether who is signed in may propose, change and send purchases, and answer alerts.
func mayBuy(r *page.Request) bool { return r.May(workshop.Lead) }
