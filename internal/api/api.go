// Package api is the door for other programs: JSON under /api/v1, described by OpenAPI 3.1, refused with problem documents
// (RFC 9457). Its bodies are types of its own with the field names of the contract, so that a change inside never changes
// what other programs read; the command line prints the same ones.
//
// Everything needs a bearer token, except the description itself and the estimate, which is pure arithmetic.
package api

import (
	"net/http"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"
	"github.com/gin-gonic/gin"

	"windingroom/internal/httpd"
	"windingroom/internal/workshop"
)

// Root is where the API lives.
const Root = "/api/v1"

// server answers the API's requests for one shop.
type server struct {
	shop *workshop.Shop
	busy inFlight
}

// Register puts the API on an engine made by httpd.Engine.
func Register(e *gin.Engine, shop *workshop.Shop) {
	s := &server{shop: shop}
	group := e.Group(Root, noStore, s.identify, s.once, httpd.Recover(httpd.WriteProblem))
	api := humagin.NewWithGroup(e, group, config())
	s.routes(api)
	describe(e, api)
}

// routes is the table of contents.
func (s *server) routes(api huma.API) {
	s.estimates(api)
	s.wire(api)
	s.shelf(api)
	s.spoolLabels(api)
	s.weighing(api)
	s.orders(api)
	s.orderLife(api)
	s.promises(api)
	s.calibrations(api)
	s.sets(api)
	s.results(api)
	s.traces(api)
	s.days(api)
	s.changes(api)
	s.books(api)
	s.nights(api)
	s.buying(api)
	s.jobs(api)
}

func noStore(c *gin.Context) {
	c.Header("Cache-Control", "no-store")
	c.Next()
}

// config leaves out huma's own pages and its $schema member: bodies hold what the contract names.
func config() huma.Config {
	c := huma.DefaultConfig("Winding Room", "1")
	c.Info.Description = description
	c.Servers = []*huma.Server{{URL: Root}}
	c.OpenAPIPath, c.DocsPath, c.SchemasPath = "", "", ""
	c.CreateHooks = nil
	c.RejectUnknownQueryParameters = true
	c.Components.SecuritySchemes = map[string]*huma.SecurityScheme{
		"token": {Type: "http", Scheme: "bearer", Description: "Made with `windingroom token add NAME --role ROLE`."},
	}
	return c
}

const description = "Inventory and production planning for a maker of wound and plain strings.\n\n" +
	"Masses are whole milligrams (`_mg`) or grams (`_g`), sizes thousandths of an inch (`_thou`) or inches (`_in`), times minutes " +
	"(`_min`), dates YYYY-MM-DD, money a number with the currency's decimals. " +
	"A write takes an `Idempotency-Key`: the same key with the same request is answered the same again and done once."

// describe serves the description, worked out once.
func describe(e *gin.Engine, api huma.API) {
	asJSON, err := api.OpenAPI().MarshalJSON()
	if err != nil {
		panic(err) // the description is made of constants
	}
	asYAML, err := api.OpenAPI().YAML()
	if err != nil {
		panic(err)
	}
	e.GET(Root+"/openapi.json", func(c *gin.Context) { c.Data(http.StatusOK, "application/openapi+json", asJSON) })
	e.GET(Root+"/openapi.yaml", func(c *gin.Context) { c.Data(http.StatusOK, "application/openapi+yaml", asYAML) })
}

// operation begins the description of an address that needs a token.
func operation(method, path, id, summary string) huma.Operation {
	return huma.Operation{
		Method: method, Path: path, OperationID: id, Summary: summary,
		Security: []map[string][]string{{"token": {}}},
		Errors:   []int{http.StatusUnauthorized, http.StatusForbidden, http.StatusNotFound},
	}
}

// write begins the description of an address that changes something.
func write(path, id, summary string) huma.Operation {
	op := operation(http.MethodPost, path, id, summary)
	op.Errors = append(op.Errors, http.StatusConflict)
	return op
}

// answer is a JSON answer.
type answer[T any] struct{ Body T }

// answered puts what a builder makes of a value into an answer, or passes the error on.
func answered[T, B any](v T, err error, body func(T) B) (*answer[B], error) {
	if err != nil {
		return nil, err
	}
	return &answer[B]{body(v)}, nil
}
