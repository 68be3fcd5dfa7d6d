// Package orders is the place of what customers asked for: the open orders and which are at risk, the whole story of one, taking one in while
// its wire and tension are worked out, and the import of a folder's files.
package orders

import (
	"context"
	"embed"
	"io/fs"

	"github.com/gin-gonic/gin"

	"windingroom/internal/intake"
	"windingroom/internal/order"
	"windingroom/internal/setwork"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// Shop is what the place asks of the shop.
type Shop interface {
	Orders(ctx context.Context, states ...order.Status) ([]workshop.OrderStand, error)
	OrderPage(context.Context, workshop.OrderQuery) (workshop.OrderPage, error)
	Order(context.Context, order.Code) (workshop.OrderStory, error)
	OrderWork(context.Context, order.Code) (workshop.OrderWork, error)
	OrderChoices(context.Context) (workshop.OrderChoices, error)
	WouldTake(context.Context, intake.OrderForm) (workshop.OrderStory, intake.Problems, error)
	SetTension(context.Context, setwork.TensionRequest) (setwork.TensionAnswer, error)

	AddOrder(ctx context.Context, form intake.OrderForm, confirm bool) (workshop.OrderStory, error)
	ChangeOrder(ctx context.Context, code order.Code, form intake.OrderForm) (workshop.OrderStory, error)
	ConfirmOrder(context.Context, order.Code) (workshop.OrderStory, error)
	CancelOrder(ctx context.Context, code order.Code, reason string) (workshop.OrderStory, error)
	PackOrder(ctx context.Context, code order.Code, reason string) (workshop.OrderStory, error)
	ShipOrder(ctx context.Context, code order.Code, reason string) (workshop.OrderStory, error)
	NoteOrder(ctx context.Context, code order.Code, text string) error

	PromiseOf(context.Context, order.Code) (workshop.PromiseDay, error)
	FirstDayOf(context.Context, order.Code) (workshop.PromiseDay, error)
	FirstDayFor(context.Context, intake.OrderForm) (workshop.PromiseDay, error)
	HoldPromise(context.Context, order.Code) (workshop.OrderStory, error)

	Import(ctx context.Context, folder fs.FS, checkOnly bool) (workshop.ImportReport, error)
}

type place struct{ shop Shop }

// Register puts the pages on the engine.
func Register(site *page.Site, g gin.IRouter, shop Shop) {
	p, r := place{shop}, site.Place(g, page.Orders)
	r.Get("/orders", p.list)

	r.Get("/orders/:order", p.story)
	r.Post("/orders/:order/confirm", p.confirm)
	r.Post("/orders/:order/pack", p.pack)
	r.Post("/orders/:order/ship", p.ship)
	r.Post("/orders/:order/cancel", p.cancel)
	r.Post("/orders/:order/notes", p.note)
	r.Get("/orders/:order/day", p.day)
	r.Post("/orders/:order/day", p.hold)
	r.Get("/orders/:order/change", p.changeForm)
	r.Post("/orders/:order/change", p.change)

	r.Get("/new-order", p.newForm)
	r.Post("/new-order", p.add)
	r.Get("/import", p.importForm)
	r.Post("/import", p.importFiles)
}

//go:embed templates/*.html
var files embed.FS

var (
	listTemplate   = page.Parse(files, "templates/list.html")
	storyTemplate  = page.Parse(files, "templates/story.html", "templates/takes.html")
	dayTemplate    = page.Parse(files, "templates/day.html")
	entryTemplate  = page.Parse(files, "templates/entry.html", "templates/takes.html")
	importTemplate = page.Parse(files, "templates/import.html")
)

// tabs are the parts of the place that somebody may use.
func tabs(r *page.Request, here string) []page.Tab {
	entry := page.Tab{Text: "New order", Href: "/new-order"}
	if !r.May(workshop.Lead) {
		entry.Text = "What would it take?"
	}
	return r.Tabs(here, page.Tab{Text: "Orders", Href: "/orders"}, entry, page.Tab{Text: "Import", Href: "/import", For: []workshop.Role{workshop.Lead, workshop.Bookkeeper}})
}

// stateTag says in which state an order is.
func stateTag(s order.Status) page.Tag {
	tone := page.Tone("")
	switch s {
	case order.Draft:
		tone = page.Wait
	case order.Wound, order.Packed, order.Shipped:
		tone = page.Good
	}
	return page.Tag{Text: string(s), Tone: tone}
}
