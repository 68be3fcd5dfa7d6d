package api

import (
	"context"
	"errors"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/calendar"
	"windingroom/internal/problem"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

func (s *server) weighing(api huma.API) {
	huma.Register(api, write("/spools/{spool}/weighings", "weigh-spool", "Weigh a spool back: from then on it holds what the scale says"), s.weigh)
	huma.Register(api, write("/spools/{spool}/counts", "count-spool", "Weigh a spool at a stock-take"), s.count)
	huma.Register(api, operation(http.MethodGet, "/counts/today", "counts-today", "What to weigh today, riskiest first"), s.countsToday)
	huma.Register(api, operation(http.MethodGet, "/counts/accuracy", "counts-accuracy", "How many of the balances that were weighed were right"), s.accuracy)
	huma.Register(api, operation(http.MethodGet, "/spool-types", "spool-types", "Types of empty spools with their tares"), s.spoolTypes)
	huma.Register(api, write("/spool-types/{type}/tares", "learn-tare", "Learn the tare of a spool type from an empty spool"), s.learnTare)
}

type weighInput struct {
	Spool string `path:"spool"`
	Key   string `header:"Idempotency-Key" doc:"The same key posts once."`
	Body  struct {
		GrossG  Decimal `json:"gross_g" doc:"With the spool."`
		SecondG Decimal `json:"second_g,omitempty" doc:"A second reading, after the spool was taken off; it confirms a surprising first one."`
		At      string  `json:"at,omitempty" doc:"When it was weighed, RFC 3339; without it now."`
		Note    string  `json:"note,omitempty"`
		Confirm bool    `json:"confirm,omitempty" doc:"The word of a lead or the owner that a surprising reading is right."`
	}
}

func (in *weighInput) weigh() (w workshop.Weigh, err error) {
	w = workshop.Weigh{Spool: stock.SpoolCode(in.Spool), Note: in.Body.Note, Confirmed: in.Body.Confirm, Key: in.Key}
	if w.Gross, err = in.Body.GrossG.grams("gross_g"); err != nil {
		return w, err
	}
	if in.Body.SecondG != "" {
		second, err := in.Body.SecondG.grams("second_g")
		if err != nil {
			return w, err
		}
		w.Second = &second
	}
	if in.Body.At != "" {
		if w.At, err = time.Parse(time.RFC3339, in.Body.At); err != nil {
			return w, problem.At("at", errInstant)
		}
	}
	return w, nil
}

var errInstant = errors.New("must be an instant of RFC 3339 such as 2026-03-02T17:30:00+01:00")

func (s *server) weigh(ctx context.Context, in *weighInput) (*answer[Weighing], error) {
	return weighed(ctx, in, s.shop.Weigh)
}

func (s *server) count(ctx context.Context, in *weighInput) (*answer[Weighing], error) {
	return weighed(ctx, in, s.shop.Count)
}

func weighed(ctx context.Context, in *weighInput, do func(context.Context, workshop.Weigh) (workshop.Weighed, error)) (*answer[Weighing], error) {
	weigh, err := in.weigh()
	if err != nil {
		return nil, err
	}
	w, err := do(ctx, weigh)
	return answered(w, err, WeighingBody)
}

// Weighing is a weighing with the movement that it posted.
type Weighing struct {
	PostedMovement
	GrossMg       int64   `json:"gross_mg"`
	TareMg        int64   `json:"tare_mg"`
	BookMg        int64   `json:"book_mg" doc:"What the books said of the moment it was weighed."`
	NetMg         int64   `json:"net_mg" doc:"What it held then: gross less tare, from nothing to what was received."`
	DifferenceMg  int64   `json:"difference_mg"`
	UncertaintyMg int64   `json:"uncertainty_mg" doc:"Of the difference, k = 2."`
	Noise         bool    `json:"noise" doc:"The difference lies within its uncertainty and is charged to no batch."`
	Surprise      string  `json:"surprise,omitempty" doc:"What was confirmed."`
	Shares        []Share `json:"shares" doc:"What batches bear of the difference; the rest is nobody's."`
	Short         []Share `json:"short" doc:"Wire that batches were promised and that is not there."`
	Why           string  `json:"why,omitempty"`
}

// Share is wire of one batch.
type Share struct {
	Batch  string `json:"batch"`
	MassMg int64  `json:"mass_mg"`
}

// WeighingBody gives a weighing as JSON.
func WeighingBody(w workshop.Weighed) Weighing {
	k := w.Weighing
	body := Weighing{
		PostedMovement: PostedBody(w.Posted),
		GrossMg:        int64(k.Gross), TareMg: int64(k.Tare), BookMg: int64(k.Book), NetMg: int64(k.Net), DifferenceMg: int64(k.Net - k.Book),
		UncertaintyMg: int64(k.Uncertainty), Noise: k.Noise, Surprise: string(k.Surprise), Shares: []Share{}, Short: []Share{}, Why: w.Why,
	}
	for _, s := range k.Shares {
		if s.Source != "" {
			body.Shares = append(body.Shares, Share{s.Source, int64(s.Mass)})
		}
	}
	for _, s := range w.Short {
		body.Short = append(body.Short, Share{string(s.Batch), int64(s.Mass)})
	}
	return body
}

func (s *server) countsToday(ctx context.Context, in *struct {
	Date string `query:"date" format:"date" doc:"Another day than today."`
}) (*answer[CountList], error) {
	day := s.shop.Today()
	if in.Date != "" {
		var err error
		if day, err = date("query.date", in.Date); err != nil {
			return nil, err
		}
	}
	list, err := s.shop.ToWeigh(ctx, day)
	return answered(list, err, CountListBody)
}

// CountList is what to weigh on a day, riskiest first.
type CountList struct {
	Date     string  `json:"date" format:"date"`
	Currency string  `json:"currency"`
	Spools   []Count `json:"spools"`
}

// Count is one spool to weigh.
type Count struct {
	Spool         string   `json:"spool"`
	Wire          string   `json:"wire"`
	Location      string   `json:"location"`
	Class         string   `json:"class" enum:"A,B,C" doc:"By the value of the wire used in a year."`
	MassMg        int64    `json:"mass_mg"`
	UncertaintyMg int64    `json:"uncertainty_mg" doc:"Of the balance, k = 2."`
	AllocatedMg   int64    `json:"allocated_mg"`
	AtRisk        Amount   `json:"at_risk" doc:"Cost of the wire that may not be there."`
	WeighedOn     string   `json:"weighed_on,omitempty" doc:"Left out for a spool that was never weighed since it was received."`
	OverdueDays   int      `json:"overdue_days"`
	Reasons       []string `json:"reasons"`
}

// CountListBody gives a list of spools to weigh as JSON.
func CountListBody(list workshop.CountList) CountList {
	body := CountList{Date: list.Date.String(), Currency: string(list.Currency), Spools: []Count{}}
	for _, r := range list.Rows {
		body.Spools = append(body.Spools, Count{
			Spool: string(r.Spool), Wire: string(r.Balance.Wire), Location: r.Balance.Location, Class: string(r.Class), MassMg: int64(r.Balance.Mass),
			UncertaintyMg: int64(r.Uncertainty), AllocatedMg: int64(r.Balance.Allocated), AtRisk: amount(list.Currency, r.AtRisk),
			WeighedOn: r.WeighedOn.String(), OverdueDays: r.Overdue, Reasons: texts(r.Reasons),
		})
	}
	return body
}

func (s *server) accuracy(ctx context.Context, in *struct {
	From string `query:"from" format:"date" doc:"Without it, a year before to."`
	To   string `query:"to" format:"date" doc:"Without it, today."`
}) (*answer[Accuracy], error) {
	last, err := dateOr("query.to", in.To, s.shop.Today())
	if err != nil {
		return nil, err
	}
	first, err := dateOr("query.from", in.From, last-364)
	if err != nil {
		return nil, err
	}
	a, err := s.shop.Accuracy(ctx, first, last)
	return answered(a, err, AccuracyBody)
}

func dateOr(location, text string, other calendar.Date) (calendar.Date, error) {
	if text == "" {
		return other, nil
	}
	return date(location, text)
}

// Accuracy is how many of the balances that were weighed were right.
type Accuracy struct {
	From    string     `json:"from" format:"date"`
	To      string     `json:"to" format:"date"`
	All     HitRate    `json:"all"`
	Classes []ClassHit `json:"classes"`
	Months  []MonthHit `json:"months"`
}

// HitRate is hits over records; plus and minus are never netted.
type HitRate struct {
	Hits    int      `json:"hits"`
	Records int      `json:"records"`
	Share   *float64 `json:"share,omitempty" doc:"Left out where nothing was weighed."`
}

// ClassHit is that of one class.
type ClassHit struct {
	Class string `json:"class"`
	HitRate
}

// MonthHit is that of one month.
type MonthHit struct {
	Month string `json:"month"`
	HitRate
}

// AccuracyBody gives record accuracy as JSON.
func AccuracyBody(a workshop.RecordAccuracy) Accuracy {
	body := Accuracy{From: a.First.String(), To: a.Last.String(), All: hitRate(a.All), Classes: []ClassHit{}, Months: []MonthHit{}}
	for _, c := range a.Classes {
		body.Classes = append(body.Classes, ClassHit{string(c.Class), hitRate(c.Accuracy)})
	}
	for _, m := range a.Months {
		body.Months = append(body.Months, MonthHit{m.Month, hitRate(m.Accuracy)})
	}
	return body
}

func hitRate(a stock.Accuracy) HitRate {
	rate := HitRate{Hits: a.Hits, Records: a.Records}
	if share, ok := a.Share(); ok {
		rate.Share = &share
	}
	return rate
}

func (s *server) spoolTypes(ctx context.Context, _ *struct{}) (*answer[SpoolTypes], error) {
	types, err := s.shop.SpoolTypes(ctx)
	return answered(types, err, SpoolTypesBody)
}

// SpoolTypes is the types of empty spools.
type SpoolTypes struct {
	Types []SpoolType `json:"types"`
}

// SpoolType is one type with its tare as it was learned.
type SpoolType struct {
	Type     string `json:"type"`
	TareMg   int64  `json:"tare_mg"`
	SpreadMg int64  `json:"spread_mg" doc:"How far the tare of one spool may be off, k = 2."`
	Weighed  int    `json:"weighed" doc:"Empty spools it was learned from."`
}

// SpoolTypeBody gives one type as JSON.
func SpoolTypeBody(t stock.SpoolType) SpoolType {
	return SpoolType{t.Name, int64(t.Tare), int64(t.Spread()), t.Weighed}
}

// SpoolTypesBody gives types as JSON.
func SpoolTypesBody(types []stock.SpoolType) SpoolTypes {
	body := SpoolTypes{Types: []SpoolType{}}
	for _, t := range types {
		body.Types = append(body.Types, SpoolTypeBody(t))
	}
	return body
}

func (s *server) learnTare(ctx context.Context, in *struct {
	Type string `path:"type"`
	Key  string `header:"Idempotency-Key" doc:"The same key posts once."`
	Body struct {
		GrossG Decimal `json:"gross_g" doc:"Of the empty spool."`
	}
}) (*answer[SpoolType], error) {
	mass, err := in.Body.GrossG.grams("gross_g")
	if err != nil {
		return nil, err
	}
	t, err := s.shop.LearnTare(ctx, in.Type, mass, in.Key)
	return answered(t, err, SpoolTypeBody)
}
