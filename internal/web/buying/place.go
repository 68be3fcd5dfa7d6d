// Package buying is the place of what the shop buys: the morning's list, its answers, the purchases on their way.
package buying

import (
	"context"
	"embed"

	"github.com/gin-gonic/gin"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// Shop is what the place asks of the shop.
type Shop interface {
	Reorder(context.Context) (workshop.NightReport, error)
	Purchases(context.Context, workshop.PurchaseFilter) ([]workshop.PurchaseStory, error)
	RunNight(context.Context, calendar.Date) (workshop.NightReport, error)
	ProposePurchases(ctx context.Context, night calendar.Date, supplier string) ([]workshop.PurchaseStory, error)
	AnswerAlert(ctx context.Context, wire material.WireCode, reason string, until calendar.Date) (workshop.NightReport, error)
}

type place struct{ shop Shop }

// Register puts the place's pages on the engine.
func Register(site *page.Site, g gin.IRouter, shop Shop) {
	p, r := place{shop}, site.Place(g, page.Buying, workshop.Lead, workshop.Bookkeeper)
	r.Get("/buying", p.buying)
	r.Post("/buying/answers", p.answer)
	r.Post("/buying/night", p.checkNow)
	r.Post("/buying/purchases", p.propose)
}

//go:embed templates/*.html
var files embed.FS

var buyingTemplate = page.Parse(files, "templates/buying.html")
