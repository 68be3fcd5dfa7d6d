package api

import (
	"bytes"
	"context"
	"net/http"
	"net/url"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/exports"
	"windingroom/internal/intake"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

const labelsPath = "/spools/labels.xlsx"

func (s *server) spoolLabels(api huma.API) {
	op := operation(http.MethodGet, labelsPath, "spool-labels", "Labels to stick on spools as a workbook, eight to a page")
	op.Responses = map[string]*huma.Response{"200": {
		Description: "OK",
		Content:     map[string]*huma.MediaType{workbookType: {Schema: &huma.Schema{Type: "string", Format: "binary"}}},
	}}
	huma.Register(api, op, s.labels)
}

func (s *server) labels(ctx context.Context, in *struct {
	Spools   []stock.SpoolCode `query:"spool,explode" doc:"Repeated for each spool."`
	Delivery string            `query:"delivery" doc:"Its code, for all its spools, instead of naming them."`
}) (*workbook, error) {
	labels, err := s.labelsOf(ctx, in.Spools, in.Delivery)
	if err != nil {
		return nil, err
	}
	var book bytes.Buffer
	if err := exports.SpoolLabels(&book, labels); err != nil {
		return nil, err
	}
	return &workbook{ContentType: workbookType, Disposition: `attachment; filename="spool-labels.xlsx"`, Body: book.Bytes()}, nil
}

func (s *server) labelsOf(ctx context.Context, spools []stock.SpoolCode, delivery string) ([]workshop.SpoolLabel, error) {
	switch {
	case delivery == "":
		return s.shop.SpoolLabels(ctx, spools)
	case len(spools) > 0:
		return nil, intake.Problems{{Column: "delivery", Text: "stands instead of spools: name the one or the others"}}
	}
	return s.shop.DeliveryLabels(ctx, delivery)
}

// labelsAddress gives the address of the labels of what came in.
func labelsAddress(r workshop.Received) string {
	if r.Delivery != "" {
		return Root + labelsPath + "?" + url.Values{"delivery": {r.Delivery}}.Encode()
	}
	spools := url.Values{}
	for _, b := range r.Spools {
		spools.Add("spool", string(b.Code))
	}
	return Root + labelsPath + "?" + spools.Encode()
}
