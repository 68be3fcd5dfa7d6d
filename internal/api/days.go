package api

import (
	"bytes"
	"context"
	"fmt"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/exports"
	"windingroom/internal/calendar"
	"windingroom/internal/workshop"
)

func (s *server) days(api huma.API) {
	huma.Register(api, operation(http.MethodGet, "/days", "days-ahead", "The working days to come, as they would be planned now"), s.ahead)
	huma.Register(api, operation(http.MethodGet, "/days/{date}", "day", "The plan of a day"), s.day)
	huma.Register(api, write("/days/{date}/proposal", "propose", "Propose a day's plan in place of an earlier proposal, or what is new beside its released batches"), s.propose)
	huma.Register(api, write("/days/{date}/release", "release", "Release what is proposed for a day: from then on it stands"), s.release)
	huma.Register(api, sheetsOperation(), s.sheets)
}

type dayInput struct {
	Date string `path:"date" format:"date"`
}

// dayWrite is a day to change. The key is used before the operation runs; see once.
type dayWrite struct {
	Date string `path:"date" format:"date"`
	Key  string `header:"Idempotency-Key" minLength:"1" maxLength:"255" pattern:"^[!-~]+$" doc:"Repeat a request with the same key and it is done once."`
}

func (s *server) day(ctx context.Context, in *dayInput) (*answer[Plan], error) {
	return s.onDay(ctx, in.Date, s.shop.Day)
}

func (s *server) propose(ctx context.Context, in *dayWrite) (*answer[Plan], error) {
	return s.onDay(ctx, in.Date, s.shop.ProposeDay)
}

func (s *server) release(ctx context.Context, in *dayWrite) (*answer[Plan], error) {
	return s.onDay(ctx, in.Date, s.shop.ReleaseDay)
}

// onDay runs a use case on the day of the address.
func (s *server) onDay(ctx context.Context, text string, do func(context.Context, calendar.Date) (workshop.DayPlan, error)) (*answer[Plan], error) {
	d, err := date("path.date", text)
	if err != nil {
		return nil, err
	}
	day, err := do(ctx, d)
	return answered(day, err, PlanBody)
}

// workbookType is the media type of an .xlsx file.
const workbookType = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

func sheetsOperation() huma.Operation {
	op := operation(http.MethodGet, "/days/{date}/sheets.xlsx", "sheets", "The batch sheets of what is released of a day as a workbook; a changed sheet gets its next version")
	op.Errors = append(op.Errors, http.StatusConflict)
	op.Responses = map[string]*huma.Response{"200": {
		Description: "OK",
		Content:     map[string]*huma.MediaType{workbookType: {Schema: &huma.Schema{Type: "string", Format: "binary"}}},
	}}
	return op
}

type workbook struct {
	ContentType string `header:"Content-Type"`
	Disposition string `header:"Content-Disposition"`
	Body        []byte
}

func (s *server) sheets(ctx context.Context, in *dayInput) (*workbook, error) {
	d, err := date("path.date", in.Date)
	if err != nil {
		return nil, err
	}
	day, err := s.shop.DaySheets(ctx, d)
	if err != nil {
		return nil, err
	}
	var book bytes.Buffer // so that a failure is never half a file with status 200
	if err := exports.BatchSheets(&book, day); err != nil {
		return nil, err
	}
	name := fmt.Sprintf(`attachment; filename="batch-sheets-%s.xlsx"`, d)
	return &workbook{ContentType: workbookType, Disposition: name, Body: book.Bytes()}, nil
}
