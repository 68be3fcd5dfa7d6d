// Package wire is the place of the shop's wire: the spools on the shelf, receiving, weighing and counting them, their labels, and the
// trace from an order to supplier lots and back.
package wire

import (
	"context"
	"embed"
	"net/url"

	"github.com/gin-gonic/gin"

	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/purchase"
	"windingroom/internal/stock"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// Shop is what the place asks of the shop.
type Shop interface {
	WireShelf(context.Context) (workshop.WireShelf, error)
	WireStory(context.Context, material.WireCode) (workshop.WireStory, error)
	SpoolStory(context.Context, stock.SpoolCode) (workshop.SpoolStory, error)
	Find(context.Context, string) (workshop.Scanned, error)

	Place(context.Context, stock.SpoolCode, string) (workshop.SpoolNow, error)
	Quarantine(context.Context, stock.SpoolCode, string) (workshop.SpoolNow, error)
	ReleaseSpool(context.Context, stock.SpoolCode, string) (workshop.SpoolNow, error)
	ReturnToSupplier(context.Context, workshop.TakeOff) (workshop.Posted, error)
	WriteOff(context.Context, workshop.TakeOff) (workshop.Posted, error)
	Reverse(context.Context, stock.MovementID, string) (workshop.Posted, error)

	Weigh(context.Context, workshop.Weigh) (workshop.Weighed, error)
	Count(context.Context, workshop.Weigh) (workshop.Weighed, error)
	UndoWeighing(context.Context, stock.MovementID) (workshop.Posted, error)
	ToWeigh(context.Context, calendar.Date) (workshop.CountList, error)
	Accuracy(ctx context.Context, first, last calendar.Date) (workshop.RecordAccuracy, error)

	SpoolTypes(context.Context) ([]stock.SpoolType, error)
	LearnTare(ctx context.Context, name string, mass measure.Mass, key string) (stock.SpoolType, error)
	Receiving(context.Context) (workshop.Receiving, error)
	SplitDelivery(context.Context, *intake.Delivery, intake.Invoice) (workshop.Received, error)
	ReceiveSpool(context.Context, *intake.Delivery) (workshop.Received, error)
	ReceiveDelivery(ctx context.Context, spools *intake.Delivery, invoice intake.Invoice, code string) (workshop.Received, error)

	SpoolLabels(context.Context, []stock.SpoolCode) ([]workshop.SpoolLabel, error)
	DeliveryLabels(context.Context, string) ([]workshop.SpoolLabel, error)
	PurchaseLabels(context.Context, purchase.Code) ([]workshop.SpoolLabel, error)

	TraceOrder(context.Context, order.Code) (workshop.OrderTrace, error)
	TraceLot(context.Context, string) (workshop.LotTrace, error)
}

type place struct{ shop Shop }

// Register puts the place's pages on the engine.
func Register(site *page.Site, g gin.IRouter, shop Shop) {
	p, r := place{shop}, site.Place(g, page.Wire)
	r.Get("/wire", p.spools)
	r.Get("/wire/find", p.find)
	r.Get("/wire/wires", p.wires)
	r.Get("/wire/wires/:wire", p.wire)

	r.Get("/wire/spools/:spool", p.spool)
	for act := range spoolActs {
		r.Post("/wire/spools/:spool/"+act, p.act(act))
	}
	r.Post("/wire/movements/:movement/undo", p.undo)

	r.Get("/wire/weigh", p.weigh)
	r.Post("/wire/weigh", p.weighed)
	r.Get("/wire/count", p.count)
	r.Get("/wire/accuracy", p.accuracy)

	r.Get("/wire/receive", p.receive)
	r.Post("/wire/receive", p.received)

	r.Get("/wire/tares", p.tares)
	r.Post("/wire/tares", p.learnTare)

	r.Get("/wire/labels", p.labels)
	r.Get("/wire/labels.xlsx", p.labelBook)

	r.Get("/wire/trace", p.trace)
	r.Get("/wire/recall.xlsx", p.recall)
}

//go:embed templates/*.html static/print.js
var files embed.FS

var (
	spoolsTemplate   = page.Parse(files, "templates/spools.html", "templates/scan.html")
	wiresTemplate    = page.Parse(files, "templates/wires.html")
	wireTemplate     = page.Parse(files, "templates/wire.html")
	spoolTemplate    = page.Parse(files, "templates/spool.html")
	weighTemplate    = page.Parse(files, "templates/weigh.html")
	countTemplate    = page.Parse(files, "templates/count.html")
	accuracyTemplate = page.Parse(files, "templates/accuracy.html")
	receiveTemplate  = page.Parse(files, "templates/receive.html")
	taresTemplate    = page.Parse(files, "templates/tares.html")
	labelsTemplate   = page.Parse(files, "templates/labels.html")
	traceTemplate    = page.Parse(files, "templates/trace.html", "templates/flow.html")

	printScript = page.Asset(files, "static/print.js", "text/javascript; charset=utf-8")
)

// receivers are those who may take wire in, beside owners.
var receivers = []workshop.Role{workshop.Lead, workshop.Bookkeeper}

// tabs are the parts of the place that somebody may use.
func tabs(r *page.Request, here string) []page.Tab {
	return r.Tabs(here, page.Tab{Text: "Spools", Href: "/wire"}, page.Tab{Text: "Wires", Href: "/wire/wires"}, page.Tab{Text: "Weigh", Href: "/wire/weigh"},
		page.Tab{Text: "Count", Href: "/wire/count"}, page.Tab{Text: "Receive", Href: "/wire/receive", For: receivers}, page.Tab{Text: "Labels", Href: "/wire/labels"},
		page.Tab{Text: "Trace", Href: "/wire/trace"})
}

// Addresses of single things.
func spoolPath(code stock.SpoolCode) string  { return "/wire/spools/" + url.PathEscape(string(code)) }
func wirePath(code material.WireCode) string { return "/wire/wires/" + url.PathEscape(string(code)) }
func lotPath(lot string) string              { return "/wire/trace?" + url.Values{"lot": {lot}}.Encode() }
func orderPath(code order.Code) string {
	return "/wire/trace?" + url.Values{"order": {string(code)}}.Encode()
}
func weighPath(code stock.SpoolCode) string {
	return "/wire/weigh?" + url.Values{"spool": {string(code)}}.Encode()
}
func labelPath(code stock.SpoolCode) string {
	return "/wire/labels?" + url.Values{"spool": {string(code)}}.Encode()
}
func dayPath(day calendar.Date, batch string) string {
	return "/?date=" + day.String() + "#" + url.PathEscape(batch)
}

// prices says whether somebody is shown what wire costs: a winder is not.
func prices(r *page.Request) bool { return r.May(workshop.Lead, workshop.Bookkeeper) }
