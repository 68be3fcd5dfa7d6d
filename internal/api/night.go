package api

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/problem"
	"windingroom/internal/replenishment"
	"windingroom/internal/workshop"
)

func (s *server) nights(api huma.API) {
	huma.Register(api, operation(http.MethodGet, "/reorder", "reorder", "What to order: the last nightly check, with what people answered to its alerts"), s.reorder)
	huma.Register(api, write("/nights/{date}", "run-night", "Run the nightly check of a day now"), s.runNight)
	huma.Register(api, write("/wires/{wire}/alert", "answer-alert", "Note that a wire's alert was seen, or let it rest until a day; it holds until the alert rises or ends"), s.answerAlert)
}

// NightCheck is what a nightly check found.
type NightCheck struct {
	Date       string         `json:"date"`
	RanAt      string         `json:"ran_at" doc:"RFC 3339, UTC."`
	RanBy      string         `json:"ran_by"`
	Currency   string         `json:"currency"`
	Wires      []WireNight    `json:"wires" doc:"By code."`
	Purchases  []PurchaseIdea `json:"purchases" doc:"What to order, supplier by supplier."`
	OrdersRisk []OrderAtRisk  `json:"orders_at_risk" doc:"Orders whose wire does not last to their day."`
	Slipping   []OrderSlip    `json:"orders_slipping" doc:"Open orders that the days ahead, planned when the check ran, do not wind by the day they are held to."`
}

// WireNight is one wire in it.
type WireNight struct {
	Wire            string         `json:"wire"`
	OnHandG         float64        `json:"on_hand_g" doc:"Usable: without remnants and quarantined spools."`
	AllocatedG      float64        `json:"allocated_g" doc:"Of it, promised to released batches."`
	OnOrderG        float64        `json:"on_order_g" doc:"Still to come of purchases that were sent."`
	BookedG         float64        `json:"booked_g" doc:"By open orders, beyond what is allocated."`
	WeeklyUsageG    float64        `json:"weekly_usage_g" doc:"Expected."`
	ADI             float64        `json:"adi" doc:"Mean weeks between weeks with use; 0 without any."`
	CV2             float64        `json:"cv2" doc:"Squared variation of the weeks with use."`
	Class           string         `json:"class"`
	Method          string         `json:"method"`
	WeeksOfHistory  int            `json:"weeks_of_history"`
	ProtectionDays  int            `json:"protection_days" doc:"Until a purchase placed at the next check is on the shelf."`
	AvailableG      float64        `json:"available_g" doc:"What is left then of what is known."`
	OrderPointG     float64        `json:"order_point_g"`
	RunOutOn        *string        `json:"run_out_on" doc:"With expected use; null where the wire lasts a year."`
	RunOutEarliest  *string        `json:"run_out_earliest" doc:"To reckon with, at that confidence."`
	RunOutLatest    *string        `json:"run_out_latest"`
	Confidence      float64        `json:"confidence" doc:"With which the order point lasts, as far as trials with so much history reached; 0 where nothing is known."`
	Alert           string         `json:"alert" enum:"none,watch,order,late"`
	OrderBy         *string        `json:"order_by"`
	SuggestKg       float64        `json:"suggest_kg"`
	Why             string         `json:"why"`
	Changed         string         `json:"changed" doc:"Since the night before; empty where nothing did."`
	OrdersAtRisk    []string       `json:"orders_at_risk"`
	Overdue         []OverdueWire  `json:"overdue" doc:"Past due: to be expedited."`
	GoesOutOfUse    bool           `json:"goes_out_of_use"`
	Dead            bool           `json:"dead" doc:"On hand, nothing booked, not used for a year."`
	OverCoverG      float64        `json:"over_cover_g" doc:"On hand and to come beyond what the shop wants to hold: so many days of use (buying_cover_days), or all that is booked."`
	Answer          *AlertAnswer   `json:"answer" doc:"What a person answered to the alert, while it holds; null without."`
	ProjectedWeekly []BalancePoint `json:"projected" doc:"Balance by week over a quarter, and on each day on which something known happens."`
}

// OverdueWire is wire that should have come.
type OverdueWire struct {
	Purchase string  `json:"purchase"`
	DueOn    string  `json:"due_on"`
	MassG    float64 `json:"mass_g"`
}

// AlertAnswer is what a person answered to an alert.
type AlertAnswer struct {
	Person string  `json:"person"`
	At     string  `json:"at"`
	Reason string  `json:"reason"`
	Until  *string `json:"until" doc:"Rests until this day; null: seen."`
}

// BalancePoint is the projected balance at the end of a day, with its band.
type BalancePoint struct {
	On        string  `json:"on"`
	ExpectedG float64 `json:"expected_g"`
	LowG      float64 `json:"low_g"`
	HighG     float64 `json:"high_g"`
}

// PurchaseIdea is what to order from one supplier.
type PurchaseIdea struct {
	Supplier     string             `json:"supplier"`
	OrderBy      string             `json:"order_by"`
	Lines        []PurchaseIdeaLine `json:"lines"`
	Freight      Amount             `json:"freight" doc:"Expected."`
	Total        Amount             `json:"total" doc:"With freight."`
	BelowMinimum bool               `json:"below_minimum" doc:"Of the supplier, which counts the lines alone."`
	Note         string             `json:"note" doc:"Why it stays below the minimum, and what waiting means; empty where it does not."`
}

// PurchaseIdeaLine is one wire of it.
type PurchaseIdeaLine struct {
	Wire  string  `json:"wire"`
	Packs int     `json:"packs"`
	Kg    float64 `json:"kg"`
	Cost  Amount  `json:"cost"`
	Why   string  `json:"why"`
}

// OrderAtRisk is an order and the wires that do not last to its day.
type OrderAtRisk struct {
	Order string   `json:"order"`
	Wires []string `json:"wires"`
}

// OrderSlip is an order that does not keep its day.
type OrderSlip struct {
	Order    string `json:"order"`
	Customer string `json:"customer"`
	HeldTo   string `json:"held_to" format:"date" doc:"Its due day, or a later one that was promised."`
	On       string `json:"on,omitempty" format:"date" doc:"When its last strings would be wound; left out where that is not within the days looked at."`
	Why      string `json:"why,omitempty"`
}

// NightBody gives a nightly check as JSON.
func NightBody(n workshop.NightReport) NightCheck {
	body := NightCheck{Date: n.Date.String(), RanAt: n.RanAt.UTC().Format(rfc3339), RanBy: n.RanBy, Currency: string(n.Currency),
		Wires: []WireNight{}, Purchases: []PurchaseIdea{}, OrdersRisk: []OrderAtRisk{}, Slipping: []OrderSlip{}}
	for i := range n.Wires {
		body.Wires = append(body.Wires, wireNightBody(&n.Wires[i], n.Answers))
	}
	for _, p := range n.Purchases {
		idea := PurchaseIdea{Supplier: p.Supplier, OrderBy: p.OrderBy.String(), Lines: []PurchaseIdeaLine{}, Freight: amount(n.Currency, p.Freight),
			Total: amount(n.Currency, p.Total), BelowMinimum: p.BelowMinimum, Note: p.Note}
		for _, l := range p.Lines {
			idea.Lines = append(idea.Lines, PurchaseIdeaLine{string(l.Wire), l.Packs, l.Mass.Kilograms(), amount(n.Currency, l.Cost), l.Reason()})
		}
		body.Purchases = append(body.Purchases, idea)
	}
	for _, o := range replenishment.OrdersAtRisk(n.Wires) {
		body.OrdersRisk = append(body.OrdersRisk, OrderAtRisk{string(o.Order), texts(o.Wires)})
	}
	for _, s := range n.Slips {
		body.Slipping = append(body.Slipping, OrderSlip{string(s.Order), s.Customer, s.HeldTo.String(), s.On.String(), s.Why})
	}
	return body
}

func wireNightBody(w *replenishment.WireNight, answers map[material.WireCode]workshop.AlertAnswer) WireNight {
	body := WireNight{
		Wire: string(w.Wire), OnHandG: w.OnHand.Grams(), AllocatedG: w.Allocated.Grams(), OnOrderG: w.OnOrder.Grams(), BookedG: w.Booked.Grams(),
		WeeklyUsageG: w.WeeklyUsage.Grams(), ADI: w.Pattern.ADI, CV2: w.Pattern.CV2, Class: string(w.Class), Method: string(w.Method),
		WeeksOfHistory: w.Pattern.Periods, ProtectionDays: w.Protection, AvailableG: w.Available.Grams(), OrderPointG: w.OrderPoint.Grams(),
		RunOutOn: orNull(w.RunOut), RunOutEarliest: orNull(w.RunOutSoon), RunOutLatest: orNull(w.RunOutLate), Confidence: w.Confidence,
		Alert: string(w.Alert), OrderBy: orNull(w.OrderBy), SuggestKg: w.Suggest.Kilograms(), Why: w.Why, Changed: w.Changed,
		OrdersAtRisk: texts(w.AtRisk), Overdue: []OverdueWire{}, GoesOutOfUse: w.Fading, Dead: w.Dead, OverCoverG: w.OverCover.Grams(),
		ProjectedWeekly: []BalancePoint{},
	}
	for _, r := range w.Overdue {
		body.Overdue = append(body.Overdue, OverdueWire{r.Purchase, r.DueOn.String(), r.Mass.Grams()})
	}
	for _, p := range w.Balance {
		body.ProjectedWeekly = append(body.ProjectedWeekly, BalancePoint{p.On.String(), p.Expected.Grams(), p.Low.Grams(), p.High.Grams()})
	}
	if a, ok := answers[w.Wire]; ok {
		body.Answer = &AlertAnswer{a.Person, a.At.UTC().Format(rfc3339), a.Reason, orNull(a.Until)}
	}
	return body
}

const rfc3339 = "2006-01-02T15:04:05Z07:00"

// orNull gives a date as text, or null for no date.
func orNull(d calendar.Date) *string {
	if d.IsZero() {
		return nil
	}
	text := d.String()
	return &text
}

func (s *server) reorder(ctx context.Context, _ *struct{}) (*answer[NightCheck], error) {
	n, err := s.shop.Reorder(ctx)
	return answered(n, err, NightBody)
}

func (s *server) runNight(ctx context.Context, in *struct {
	Date string `path:"date"`
	Key  string `header:"Idempotency-Key" doc:"The same key posts once."`
}) (*answer[NightCheck], error) {
	date, err := calendar.ParseDate(in.Date)
	if err != nil {
		return nil, problem.At("path.date", err)
	}
	n, err := s.shop.RunNight(ctx, date)
	return answered(n, err, NightBody)
}

func (s *server) answerAlert(ctx context.Context, in *struct {
	Wire string `path:"wire"`
	Body struct {
		Reason string `json:"reason"`
		Until  string `json:"until,omitempty" doc:"YYYY-MM-DD; without it the alert was only seen."`
	}
}) (*answer[NightCheck], error) {
	until, err := optionalDay("until", in.Body.Until)
	if err != nil {
		return nil, err
	}
	n, err := s.shop.AnswerAlert(ctx, material.WireCode(in.Wire), in.Body.Reason, until)
	return answered(n, err, NightBody)
}
