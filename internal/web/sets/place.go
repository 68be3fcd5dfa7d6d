// Package sets is the place of set work: the standing sets and what they do at pitch, and the bench on which one is put together,
// compared, matched in another alloy and balanced. What is on the bench stands in the address, so that a link to it can be shared.
package sets

import (
	"context"
	"embed"

	"github.com/gin-gonic/gin"

	"windingroom/internal/catalog"
	"windingroom/internal/intake"
	"windingroom/internal/measure"
	"windingroom/internal/setwork"
	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// Shop is what the place asks of the shop.
type Shop interface {
	StandingSets(context.Context) ([]workshop.StandingSet, error)
	SetParts(context.Context) (workshop.SetParts, error)
	SetTension(context.Context, setwork.TensionRequest) (setwork.TensionAnswer, error)
	MatchSet(context.Context, setwork.MatchRequest) (setwork.MatchAnswer, error)
	BalanceSet(context.Context, setwork.BalanceRequest) (setwork.BalanceAnswer, error)
	FindWires(context.Context, setwork.FindRequest) (setwork.FindAnswer, error)
	MakeRecipe(context.Context, intake.RecipeForm) (catalog.Recipe, error)
	MakeRecipes(context.Context, []intake.RecipeForm) ([]catalog.Recipe, error)
	KeepSet(context.Context, intake.SetForm) (catalog.Set, error)
	ChangeSet(context.Context, intake.SetForm) (catalog.Set, error)
	RetireSet(context.Context, catalog.SetCode) (catalog.Set, error)
	Calibrated(context.Context, catalog.RecipeCode, measure.Size) (workshop.Calibrated, error)
	Calibrate(context.Context, workshop.CalibrationForm) (workshop.Calibrated, error)
	TakeBackCalibration(context.Context, catalog.RecipeCode, int64, string) (workshop.Calibrated, error)
}

type place struct{ shop Shop }

// Addresses of the place's pages.
const (
	standingPath = "/sets"
	benchPath    = "/sets/bench"
	matchPath    = "/sets/match"
	balancePath  = "/sets/balance"
	findPath     = "/sets/find"
	recipesPath  = "/sets/recipes"
	newPath      = "/sets/recipes/new"
	keepPath     = "/sets/keep"
	changePath   = "/sets/change"
	retirePath   = "/sets/retire"

	calibratePath = "/sets/calibrate"
	takeBackPath  = "/sets/calibrate/take-back"
)

// Register puts the pages on the engine.
func Register(site *page.Site, g gin.IRouter, shop Shop) {
	p, r := place{shop}, site.Place(g, page.Sets)
	r.Get(standingPath, p.standing)
	r.Get(benchPath, p.bench)
	r.Get(matchPath, p.match)
	r.Get(balancePath, p.balance)
	r.Get(findPath, p.find)
	r.Post(recipesPath, p.makeRecipe)
	r.Post(newPath, p.makeNew)
	r.Post(keepPath, p.keep)
	r.Post(changePath, p.change)
	r.Post(retirePath, p.retire)
	r.Get(calibratePath, p.calibrate)
	r.Post(calibratePath, p.calibrated)
	r.Post(takeBackPath, p.takeBackCalibration)
}

//go:embed templates/*.html
var files embed.FS

var (
	standingTemplate = page.Parse(files, "templates/standing.html")
	benchTemplate    = page.Parse(files, "templates/bench.html", "templates/parts.html")
	matchTemplate    = page.Parse(files, "templates/match.html", "templates/parts.html")
	balanceTemplate  = page.Parse(files, "templates/balance.html", "templates/parts.html")
	findTemplate     = page.Parse(files, "templates/find.html", "templates/parts.html")

	calibrateTemplate = page.Parse(files, "templates/calibrate.html")
)

// tabs are the parts of the place; what is on the bench goes with them.
func tabs(here string, b bench) []page.Tab {
	var all []page.Tab
	for _, t := range []struct{ text, path string }{{"Standing sets", standingPath}, {"Bench", benchPath}, {"In another alloy", matchPath}, {"Balance", balancePath}, {"Find wires", findPath}, {"Calibrate", calibratePath}} {
		href := t.path
		if t.path != standingPath {
			href = b.path(t.path)
		}
		all = append(all, page.Tab{Text: t.text, Href: href, Here: t.path == here})
	}
	return all
}
