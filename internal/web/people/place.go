// Package people is the place of who comes in and what they did: one's own password and sessions, the shop's people and their
// roles, the tokens of programs, and the audit.
package people

import (
	"context"
	"embed"

	"github.com/gin-gonic/gin"

	"windingroom/internal/web/page"
	"windingroom/internal/workshop"
)

// Shop is what the place asks of the shop.
type Shop interface {
	People(context.Context) ([]workshop.Member, error)
	AddPerson(ctx context.Context, name string, role workshop.Role, password string) error
	ChangeRole(ctx context.Context, name string, role workshop.Role) error
	SetPassword(ctx context.Context, name, password string) error
	TurnOff(ctx context.Context, name string) error
	TurnOn(ctx context.Context, name string) error

	Tokens(context.Context) ([]workshop.Token, error)
	AddToken(ctx context.Context, name string, role workshop.Role) (string, error)
	RevokeToken(ctx context.Context, name string) error

	Audit(context.Context, workshop.AuditQuery) ([]workshop.AuditEntry, bool, error)

	OwnSessions(context.Context) ([]workshop.Session, error)
	SignOutEverywhere(context.Context) (int, error)
	ChangeOwnPassword(ctx context.Context, present, password, address string) (string, error)
}

// Sessions is how a browser's session begins and ends.
type Sessions interface {
	Begin(c *gin.Context, token string)
	End(*gin.Context)
}

type place struct {
	shop     Shop
	sessions Sessions
}

// Register puts the pages on the engine.
func Register(site *page.Site, g gin.IRouter, shop Shop, sessions Sessions) {
	p, r := place{shop, sessions}, site.Place(g, page.People)
	r.Get("/you", p.you)
	r.Post("/you/password", p.ownPassword)
	r.Post("/you/sign-out-everywhere", p.everywhere)

	r.Get("/people", p.people)
	r.Post("/people", p.add)
	r.Get("/people/one", p.one)
	r.Post("/people/role", p.role)
	r.Post("/people/password", p.password)
	r.Post("/people/off", p.off)
	r.Post("/people/on", p.on)

	r.Get("/tokens", p.tokens)
	r.Post("/tokens", p.addToken)
	r.Post("/tokens/revoke", p.revoke)

	r.Get("/audit", p.audit)
}

//go:embed templates/*.html
var files embed.FS

var (
	youTemplate    = page.Parse(files, "templates/you.html")
	peopleTemplate = page.Parse(files, "templates/people.html")
	oneTemplate    = page.Parse(files, "templates/one.html")
	tokensTemplate = page.Parse(files, "templates/tokens.html")
	madeTemplate   = page.Parse(files, "templates/token_made.html")
	auditTemplate  = page.Parse(files, "templates/audit.html")
)

// tabs are the parts of the place that somebody may see.
func tabs(r *page.Request, here string) []page.Tab {
	owners := []workshop.Role{workshop.Owner}
	return r.Tabs(here, page.Tab{Text: "You", Href: "/you"}, page.Tab{Text: "People", Href: "/people", For: owners}, page.Tab{Text: "Tokens", Href: "/tokens", For: owners},
		page.Tab{Text: "Audit", Href: "/audit", For: []workshop.Role{workshop.Bookkeeper}})
}

// roleOptions are the roles to choose from, the least able first.
func roleOptions() []page.Option {
	return []page.Option{
		{Value: string(workshop.Winder), Text: "winder: records results and weighings"},
		{Value: string(workshop.Lead), Text: "lead: plans, releases, buys"},
		{Value: string(workshop.Bookkeeper), Text: "bookkeeper: closes months, exports, reads the audit"},
		{Value: string(workshop.Owner), Text: "owner: may do all, and manages people"},
	}
}

// passwordHint says what a password needs.
const passwordHint = "At least 10 characters. A few words in a row are easy to keep in mind; no digits or signs are asked for."
