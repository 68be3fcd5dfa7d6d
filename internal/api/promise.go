package api

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/order"
	"windingroom/internal/promise"
	"windingroom/internal/workshop"
)

func (s *server) promises(api huma.API) {
	huma.Register(api, operation(http.MethodGet, "/orders/{order}/promise", "promise", "The earliest day for an order, what decides it and what would make it earlier"), s.promise)
	huma.Register(api, write("/orders/{order}/promise", "hold-promise", "Find the earliest day for a confirmed order anew and hold it to that"), s.holdPromise)
	try := operation(http.MethodPost, "/promise", "promise-for", "The same for an order that is spelled out; nothing is kept")
	huma.Register(api, try, s.promiseFor)
}

func (s *server) promise(ctx context.Context, in *orderInput) (*answer[Promise], error) {
	day, err := s.shop.PromiseOf(ctx, order.Code(in.Order))
	return answered(day, err, PromiseDayBody)
}

func (s *server) promiseFor(ctx context.Context, in *struct{ Body OrderForm }) (*answer[Promise], error) {
	day, err := s.shop.PromiseFor(ctx, in.Body.form())
	return answered(day, err, PromiseDayBody)
}

func (s *server) holdPromise(ctx context.Context, in *orderReason) (*answer[Order], error) {
	story, err := s.shop.HoldPromise(ctx, order.Code(in.Order))
	return answered(story, err, OrderBody)
}

// Promise is the day that may be promised for an order.
type Promise struct {
	Order      string   `json:"order"`
	Date       string   `json:"date,omitempty" format:"date" doc:"All its strings are wound when this day is over; left out where no day can be promised."`
	HeldTo     string   `json:"held_to,omitempty" format:"date" doc:"The day it would be held to when it is confirmed: its due day where that can be kept."`
	PromisedOn string   `json:"promised_on,omitempty" format:"date" doc:"The day it is held to already."`
	Planned    bool     `json:"planned" doc:"Found by planning the days; else reckoned beyond them, on the late side."`
	Confidence float64  `json:"confidence" doc:"That yields, and the receipt where one decides, do not make it late."`
	SlackDays  *int     `json:"slack_days,omitempty" doc:"From the date to the due day; below zero it is late by so much."`
	Decides    Decides  `json:"decides"`
	Why        string   `json:"why"`
	Earlier    []Unlock `json:"earlier" doc:"What would make it earlier, or possible."`
}

// Decides is what decides a promise.
type Decides struct {
	What     string   `json:"what" enum:"nothing,time,wire,receipt,orders,machine"`
	Machine  string   `json:"machine,omitempty"`
	Wire     string   `json:"wire,omitempty"`
	ShortMg  int64    `json:"short_mg,omitempty"`
	Purchase string   `json:"purchase,omitempty"`
	On       string   `json:"counted_on,omitempty" format:"date" doc:"The day the receipt is counted on."`
	Orders   []string `json:"orders,omitempty" doc:"Taken on before; they would be late otherwise."`
	Detail   string   `json:"detail,omitempty"`
}

// Unlock is something the shop might do, and the day it would make possible.
type Unlock struct {
	How      string `json:"how" enum:"overtime,receipt earlier,overdue receipt arrives,buy"`
	Date     string `json:"date" format:"date"`
	Says     string `json:"says"`
	Machine  string `json:"machine,omitempty"`
	Minutes  int    `json:"minutes,omitempty" doc:"Of overtime, each day."`
	Purchase string `json:"purchase,omitempty"`
	Days     int    `json:"days,omitempty" doc:"The receipt would come earlier."`
	Buys     []Buy  `json:"buys,omitempty"`
}

// Buy is wire to buy today.
type Buy struct {
	Wire     string `json:"wire"`
	MassMg   int64  `json:"mass_mg"`
	LeadDays int    `json:"lead_days" doc:"From today to the shelf."`
}

// PromiseDayBody gives a promise as JSON.
func PromiseDayBody(d workshop.PromiseDay) Promise { return promiseBody(d.Order, d.Answer) }

func promiseBody(o order.Order, a promise.Answer) Promise {
	r := a.Decides
	body := Promise{
		Order: string(o.Code), Date: a.On.String(), HeldTo: a.Holds.String(), PromisedOn: o.PromisedOn.String(), Planned: a.Planned,
		Confidence: a.Confidence, Why: a.Why(), Earlier: []Unlock{},
		Decides: Decides{What: string(r.What), Machine: string(r.Machine), Wire: string(r.Wire), ShortMg: int64(r.Short), Detail: r.Detail, Orders: texts(r.Orders)},
	}
	if r.Receipt != nil {
		body.Decides.Purchase, body.Decides.On = r.Receipt.Purchase, r.Receipt.On.String()
	}
	if !a.On.IsZero() {
		slack := int(o.DueOn - a.On)
		body.SlackDays = &slack
	}
	for _, u := range a.Earlier {
		way := Unlock{How: string(u.How), Date: u.On.String(), Says: u.String(), Machine: string(u.Machine), Minutes: u.Minutes, Days: u.Days}
		if u.Receipt != nil {
			way.Purchase = u.Receipt.Purchase
		}
		for _, b := range u.Buys {
			way.Buys = append(way.Buys, Buy{string(b.Wire), int64(b.Mass), b.Days})
		}
		body.Earlier = append(body.Earlier, way)
	}
	return body
}
