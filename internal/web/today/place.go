// Package today is the place of the winding room's day: its plan, what changes it, the days ahead and the batch sheets.
package today

import (
	"context"
	"embed"

	"github.com/gin-gonic/gin"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/requirements"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// Shop is what the place asks of the shop.
type Shop interface {
	Day(context.Context, calendar.Date) (workshop.DayPlan, error)
	ProposeDay(context.Context, calendar.Date) (workshop.DayPlan, error)
	ReleaseDay(context.Context, calendar.Date) (workshop.DayPlan, error)
	ReplanDay(context.Context, calendar.Date, workshop.DayChanges) (workshop.DayPlan, error)
	TakeBack(context.Context, batch.Code, string) (workshop.DayPlan, error)
	DaySheets(context.Context, calendar.Date) (batch.Day, error)
	LookAhead(context.Context, calendar.Date, int) ([]workshop.AheadDay, error)
	Shortages(context.Context) ([]requirements.Shortage, error)
}

type place struct{ shop Shop }

// Register puts the place's pages on the engine.
func Register(site *page.Site, g gin.IRouter, shop Shop) {
	p, r := place{shop}, site.Place(g, page.Today)
	r.Get("/", p.today)
	r.Post("/days/:date/propose", p.propose)
	r.Post("/days/:date/release", p.release)
	r.Post("/days/:date/changes", p.change)
	r.Post("/days/:date/batches/:batch/take-back", p.takeBack)
	r.Get("/days/:date/sheets.xlsx", p.sheets)
	r.Get("/ahead", p.ahead)
}

//go:embed templates/*.html
var files embed.FS

var (
	todayTemplate = page.Parse(files, "templates/today.html", "templates/plan.html", "templates/asked.html", "templates/bars.html")
	aheadTemplate = page.Parse(files, "templates/ahead.html")
)
