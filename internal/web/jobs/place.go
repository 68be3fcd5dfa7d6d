// Package jobs is the page that says whether last night's work was done.
package jobs

import (
	"context"
	"embed"
	"time"

	"github.com/gin-gonic/gin"

	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// Shop is what the page asks of the shop.
type Shop interface {
	JobRuns(ctx context.Context, perJob int) ([]workshop.JobRun, error)
}

type place struct {
	shop  Shop
	next  func() time.Time // run of the nightly jobs; nil where this program runs none
	names []string         // of them, in the order in which they run
}

// Register puts the page on the engine. next gives the next run of the nightly jobs; nil where the program runs none; names
// are theirs.
func Register(site *page.Site, g gin.IRouter, shop Shop, next func() time.Time, names []string) {
	p, r := place{shop, next, names}, site.Place(g, page.Jobs)
	r.Get("/jobs", p.jobs)
}

//go:embed templates/*.html
var files embed.FS

var jobsTemplate = page.Parse(files, "templates/jobs.html")
