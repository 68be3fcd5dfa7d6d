// Package today is the place of the winding room's day: its plan and what changes it, one batch, the bench at each machine, the days
// ahead and the batch sheets.
package today

import (
	"context"
	"embed"

	"github.com/gin-gonic/gin"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// Shop is what the place asks of the shop.
type Shop interface {
	Day(context.Context, calendar.Date) (workshop.DayPlan, error)
	Progress(context.Context, calendar.Date) (workshop.DayProgress, error)
	ProposeDay(context.Context, calendar.Date) (workshop.DayPlan, error)
	ReleaseDay(context.Context, calendar.Date) (workshop.DayPlan, error)
	ReplanDay(context.Context, calendar.Date, workshop.DayChanges) (workshop.DayPlan, error)
	TakeBack(context.Context, batch.Code, string) (workshop.DayPlan, error)
	DaySheets(context.Context, calendar.Date) (batch.Day, error)
	LookAhead(context.Context, calendar.Date, int) ([]workshop.AheadDay, error)
	Shortages(context.Context) ([]requirements.Shortage, error)

	BatchNow(context.Context, batch.Code) (workshop.BatchNow, error)
	Bench(context.Context, catalog.MachineCode, batch.Code) (workshop.Bench, error)
	BeginBatch(context.Context, batch.Code) (workshop.Marked, error)
	CountStrings(context.Context, workshop.CountForm) (workshop.Marked, error)
	SwitchSpool(context.Context, batch.Code, stock.SpoolCode, string) (workshop.Marked, error)
	UndoMark(context.Context, batch.Code, int) (workshop.Marked, error)
	FinishBatch(context.Context, workshop.DoneForm) (workshop.ResultPosted, error)
	UndoResult(context.Context, batch.Code, int, string) (workshop.ResultPosted, error)
	Weigh(context.Context, workshop.Weigh) (workshop.Weighed, error)
	UndoWeighing(context.Context, stock.MovementID) (workshop.Posted, error)
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
	r.Get("/batches/:batch", p.batch)
	r.Post("/batches/:batch/undo-result", p.undoResult)

	r.Get("/today/bench/:machine", p.bench)
	r.Post("/today/bench/:machine/begin", p.begin)
	r.Post("/today/bench/:machine/count", p.count)
	r.Post("/today/bench/:machine/spool", p.switchSpool)
	r.Post("/today/bench/:machine/undo", p.undoMark)
	r.Post("/today/bench/:machine/done", p.done)
	r.Post("/today/bench/:machine/not-done", p.notDone)
	r.Get("/today/bench/:machine/weigh", p.weighForm)
	r.Post("/today/bench/:machine/weigh", p.weigh)
	r.Post("/today/bench/:machine/unweigh", p.unweigh)
}

//go:embed templates/*.html scripts/*.js
var files embed.FS

var (
	todayTemplate = page.Parse(files, "templates/today.html", "templates/late.html", "templates/lanes.html", "templates/asked.html", "templates/care.html")
	batchTemplate = page.Parse(files, "templates/batch.html", "templates/load.html")
	benchTemplate = page.Parse(files, "templates/bench.html", "templates/load.html", "templates/care.html")
	weighTemplate = page.Parse(files, "templates/weigh.html")
	aheadTemplate = page.Parse(files, "templates/ahead.html", "templates/late.html")

	dragScript  = page.Asset(files, "scripts/drag.js", "text/javascript; charset=utf-8")
	benchScript = page.Asset(files, "scripts/bench.js", "text/javascript; charset=utf-8")
)
