package api

import (
	"context"
	"errors"
	"math"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/batch"
	"windingroom/internal/intake"
	"windingroom/internal/problem"
	"windingroom/internal/workshop"
)

func (s *server) results(api huma.API) {
	huma.Register(api, operation(http.MethodGet, "/batches/{batch}", "batch", "A batch with its results"), s.batch)
	huma.Register(api, write("/batches/{batch}/results", "post-result", "What came off the machine: draws are posted, strings go to orders; the same again changes nothing"), s.postResult)
	huma.Register(api, write("/batches/{batch}/results/{result}/reversal", "undo-result", "Take back the last result of a batch"), s.undoResult)
	huma.Register(api, operation(http.MethodGet, "/finished", "finished", "Good strings that no order owns"), s.finished)
}

type batchInput struct {
	Batch string `path:"batch"`
}

// ResultForm is what a winder says of a batch.
type ResultForm struct {
	Good      int           `json:"good" minimum:"0" maximum:"100000"`
	Scrapped  int           `json:"scrapped" minimum:"0" maximum:"100000"`
	Minutes   float64       `json:"minutes" minimum:"0" maximum:"1440"`
	Person    string        `json:"person" doc:"Who wound."`
	WoundOn   string        `json:"wound_on,omitempty" doc:"YYYY-MM-DD; without it the batch's day."`
	Continues bool          `json:"continues,omitempty" doc:"The batch goes on another day."`
	Draws     []BenchSpools `json:"draws,omitempty" doc:"Only where the bench did not take a wire from the planned spools in their order; for such a wire all spools, with the strings of each."`
}

// BenchSpools says for how many strings wire was taken from a spool.
type BenchSpools struct {
	Spool   string `json:"spool"`
	Strings int    `json:"strings" minimum:"1" maximum:"100000"`
}

func (s *server) postResult(ctx context.Context, in *struct {
	Batch string `path:"batch"`
	Key   string `header:"Idempotency-Key" doc:"The same key posts once."`
	Body  ResultForm
}) (*answer[Result], error) {
	f := workshop.ResultForm{
		Batch: batch.Code(in.Batch), Good: in.Body.Good, Scrapped: in.Body.Scrapped, Person: in.Body.Person, Continues: in.Body.Continues, Key: in.Key,
		Minutes: time.Duration(math.Round(in.Body.Minutes * float64(time.Minute))),
	}
	if in.Body.WoundOn != "" {
		var err error
		if f.WoundOn, err = date("wound_on", in.Body.WoundOn); err != nil {
			return nil, err
		}
	}
	for _, d := range in.Body.Draws {
		f.Spools = append(f.Spools, intake.SpoolStrings{Spool: d.Spool, Strings: d.Strings})
	}
	posted, err := s.shop.PostResult(ctx, f)
	return answered(posted, err, ResultBody)
}

func (s *server) undoResult(ctx context.Context, in *struct {
	Batch  string `path:"batch"`
	Key    string `header:"Idempotency-Key" doc:"The same key posts once."`
	Result int    `path:"result"`
	Body   struct {
		Reason string `json:"reason" maxLength:"1000"`
	}
}) (*answer[Result], error) {
	if in.Result < 1 {
		return nil, problem.At("path.result", errors.New("must be a result's number, 1 upwards"))
	}
	undone, err := s.shop.UndoResult(ctx, batch.Code(in.Batch), in.Result, in.Body.Reason)
	return answered(undone, err, ResultBody)
}

// Result is a result as it stands in the books.
type Result struct {
	Batch     string      `json:"batch"`
	Status    string      `json:"status" doc:"Of the batch."`
	Result    int         `json:"result" doc:"Its number in the batch."`
	WoundOn   string      `json:"wound_on" format:"date"`
	Good      int         `json:"good"`
	Scrapped  int         `json:"scrapped"`
	Minutes   float64     `json:"minutes"`
	Person    string      `json:"person"`
	Continues bool        `json:"continues"`
	Draws     []TakenFrom `json:"draws"`
	Orders    []Serve     `json:"orders" doc:"Where the good strings went."`
	Surplus   int         `json:"surplus" doc:"Good strings that went to finished stock."`
	Undone    *Undone     `json:"undone,omitempty"`
	Unchanged bool        `json:"unchanged" doc:"It was here already."`
}

// TakenFrom is the wire a result took from one spool.
type TakenFrom struct {
	Spool    string `json:"spool"`
	Wire     string `json:"wire"`
	Strings  int    `json:"strings"`
	MassMg   int64  `json:"mass_mg"`
	Movement int64  `json:"movement"`
}

// Undone says who took a result back, and why.
type Undone struct {
	At     time.Time `json:"at"`
	By     string    `json:"by"`
	Reason string    `json:"reason"`
}

// ResultBody gives a posted result as JSON.
func ResultBody(p workshop.ResultPosted) Result {
	body := resultBody(p.Result)
	body.Batch, body.Status, body.Unchanged = string(p.Batch.Code), string(p.Batch.Status), p.Unchanged
	return body
}

func resultBody(r batch.Result) Result {
	body := Result{
		Batch: string(r.Batch), Result: r.Number, WoundOn: r.WoundOn.String(), Good: r.Good, Scrapped: r.Scrapped, Minutes: r.Minutes.Minutes(),
		Person: r.Person, Continues: r.Continues, Draws: []TakenFrom{}, Orders: []Serve{},
	}
	for _, d := range r.Draws {
		body.Draws = append(body.Draws, TakenFrom{Spool: string(d.Spool), Wire: string(d.Wire), Strings: d.Strings, MassMg: int64(d.Mass), Movement: int64(d.Movement)})
	}
	for _, g := range r.Given {
		if g.Order == "" {
			body.Surplus += g.Strings
			continue
		}
		body.Orders = append(body.Orders, Serve{Order: string(g.Order), Line: g.Line, Position: g.Position, Strings: g.Strings})
	}
	if !r.Stands() {
		body.Undone = &Undone{At: r.UndoneAt, By: r.UndoneBy, Reason: r.UndoReason}
	}
	return body
}

// Results is what a file of results did.
type Results struct {
	Date     string   `json:"date" format:"date"`
	Changed  bool     `json:"changed"`
	Results  []Result `json:"results"`
	Problems []string `json:"problems"`
}

// ResultsBody gives what a file of results did as JSON.
func ResultsBody(r workshop.ResultsReport) Results {
	body := Results{Date: r.Date.String(), Changed: r.Changes(), Results: []Result{}, Problems: []string{}}
	for _, p := range r.Results {
		body.Results = append(body.Results, ResultBody(p))
	}
	return body
}

// BatchStory is a batch with its results.
type BatchStory struct {
	Batch
	Date    string   `json:"date" format:"date"`
	Machine string   `json:"machine"`
	Status  string   `json:"status" enum:"proposed,released,finished"`
	Results []Result `json:"results"`
}

func (s *server) batch(ctx context.Context, in *batchInput) (*answer[BatchStory], error) {
	story, err := s.shop.Batch(ctx, batch.Code(in.Batch))
	return answered(story, err, func(story workshop.BatchStory) BatchStory {
		b := story.Batch
		body := BatchStory{Batch: batchBody(b), Date: b.Date.String(), Machine: string(b.Machine), Status: string(b.Status), Results: []Result{}}
		for _, r := range story.Results {
			result := resultBody(r)
			result.Status = body.Status
			body.Results = append(body.Results, result)
		}
		return body
	})
}

// Finished lists the good strings that no order owns.
type Finished struct {
	Strings []FinishedStrings `json:"strings"`
}

// FinishedStrings is a number of equal good strings.
type FinishedStrings struct {
	Recipe  string  `json:"recipe"`
	ScaleIn float64 `json:"scale_in"`
	Strings int     `json:"strings"`
}

func (s *server) finished(ctx context.Context, _ *struct{}) (*answer[Finished], error) {
	list, err := s.shop.FinishedStock(ctx)
	return answered(list, err, func(list []workshop.FinishedStrings) Finished {
		body := Finished{Strings: []FinishedStrings{}}
		for _, f := range list {
			body.Strings = append(body.Strings, FinishedStrings{Recipe: string(f.Recipe), ScaleIn: f.Scale.Inches(), Strings: f.Strings})
		}
		return body
	})
}
