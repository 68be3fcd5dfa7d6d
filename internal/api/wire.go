package api

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/calendar"
	"windingroom/internal/money"
	"windingroom/internal/problem"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

func (s *server) wire(api huma.API) {
	huma.Register(api, operation(http.MethodGet, "/stock", "stock", "What every spool holds, now or when a day was over"), s.stock)
	huma.Register(api, operation(http.MethodGet, "/spools/{spool}/movements", "movements", "What went on and off one spool"), s.movements)
}

type stockInput struct {
	At string `query:"at" format:"date" doc:"The stock when this day was over; nothing is allocated in the past."`
}

func (s *server) stock(ctx context.Context, in *stockInput) (*answer[Stock], error) {
	var at calendar.Date
	if in.At != "" {
		var err error
		if at, err = date("query.at", in.At); err != nil {
			return nil, err
		}
	}
	list, err := s.shop.Stock(ctx, at)
	return answered(list, err, StockBody)
}

// date reads a date of the address.
func date(location, text string) (calendar.Date, error) {
	d, err := calendar.ParseDate(text)
	if err != nil {
		return 0, problem.At(location, err)
	}
	return d, nil
}

type spoolInput struct {
	Spool string `path:"spool"`
}

func (s *server) movements(ctx context.Context, in *spoolInput) (*answer[Movements], error) {
	h, err := s.shop.Movements(ctx, stock.SpoolCode(in.Spool))
	return answered(h, err, MovementsBody)
}

// Stock is what every spool holds.
type Stock struct {
	At       string  `json:"at,omitempty" format:"date"`
	Currency string  `json:"currency"`
	Spools   []Spool `json:"spools"`
}

// Spool is one spool with what it holds.
type Spool struct {
	Spool       string `json:"spool"`
	Wire        string `json:"wire"`
	Lot         string `json:"lot"`
	Location    string `json:"location"`
	ReceivedOn  string `json:"received_on" format:"date"`
	MassMg      int64  `json:"mass_mg"`
	Cost        Amount `json:"cost"`
	AllocatedMg int64  `json:"allocated_mg"`
	FreeMg      int64  `json:"free_mg"`
	Remnant     bool   `json:"remnant" doc:"Less is left than the wire's usable end."`
	State       string `json:"state" enum:"available,quarantined"`
}

// StockBody gives a list of spools as JSON.
func StockBody(list workshop.StockList) Stock {
	body := Stock{At: list.At.String(), Currency: string(list.Currency), Spools: []Spool{}}
	for _, b := range list.Spools {
		body.Spools = append(body.Spools, spoolBody(b, list.Currency))
	}
	return body
}

func spoolBody(b stock.Balance, c money.Currency) Spool {
	return Spool{
		Spool: string(b.Code), Wire: string(b.Wire), Lot: b.Lot, Location: b.Location, ReceivedOn: b.ReceivedOn.String(),
		MassMg: int64(b.Mass), Cost: amount(c, b.Value), AllocatedMg: int64(b.Allocated), FreeMg: int64(b.Free()), Remnant: b.Remnant(),
		State: string(b.State),
	}
}

// Movements is a spool with its ledger, oldest first.
type Movements struct {
	Spool     Spool      `json:"spool"`
	Currency  string     `json:"currency"`
	Movements []Movement `json:"movements"`
}

// Movement is one entry of the ledger.
type Movement struct {
	Movement    int64     `json:"movement" doc:"Numbered in the order they were posted."`
	Kind        string    `json:"kind"`
	MassMg      int64     `json:"mass_mg" doc:"Signed: what went on the spool."`
	Cost        Amount    `json:"cost"`
	EffectiveOn string    `json:"effective_on" format:"date"`
	EffectiveAt time.Time `json:"effective_at"`
	PostedAt    time.Time `json:"posted_at"`
	Person      string    `json:"person"`
	Reason      string    `json:"reason"`
	Source      string    `json:"source"`
	Reverses    int64     `json:"reverses,omitempty" doc:"The movement that this one takes back."`
}

// MovementsBody gives a spool's history as JSON.
func MovementsBody(h workshop.SpoolHistory) Movements {
	body := Movements{Spool: spoolBody(h.Spool, h.Currency), Currency: string(h.Currency), Movements: []Movement{}}
	for _, m := range h.Movements {
		body.Movements = append(body.Movements, movementBody(m, h.Currency))
	}
	return body
}

func movementBody(m stock.Movement, c money.Currency) Movement {
	return Movement{
		Movement: int64(m.ID), Kind: string(m.Kind), MassMg: int64(m.Mass), Cost: amount(c, m.Cost),
		EffectiveOn: m.EffectiveOn.String(), EffectiveAt: m.EffectiveAt, PostedAt: m.PostedAt, Person: m.Person, Reason: m.Reason,
		Source: m.Source, Reverses: int64(m.Reverses),
	}
}
