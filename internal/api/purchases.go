package api

import (
	"bytes"
	"cmp"
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/exports"
	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/problem"
	"windingroom/internal/purchase"
	"windingroom/internal/workshop"
)

func (s *server) buying(api huma.API) {
	huma.Register(api, operation(http.MethodGet, "/purchases", "purchases", "Purchases, by code"), s.purchases)
	add := write("/purchases", "add-purchase", "Make a purchase as a proposal; without lines, what the last nightly check asks for from the supplier")
	add.DefaultStatus = http.StatusCreated
	huma.Register(api, add, s.addPurchase)
	propose := write("/nights/{date}/purchases", "propose-purchases", "Turn what a night asks for into proposals, one for each supplier")
	huma.Register(api, propose, s.proposePurchases)
	huma.Register(api, operation(http.MethodGet, "/purchases/{purchase}", "purchase", "One purchase with its lines and what came of them"), s.purchase)
	change := write("/purchases/{purchase}", "change-purchase", "Change the version of a purchase that was seen; refused when it has changed since")
	change.Method = http.MethodPut
	huma.Register(api, change, s.changePurchase)
	huma.Register(api, write("/purchases/{purchase}/send", "send-purchase", "Note that a purchase has gone to its supplier: its wire is on order"), s.sendPurchase)
	huma.Register(api, write("/purchases/{purchase}/cancel", "cancel-purchase", "Take back a purchase of which nothing came"), s.cancelPurchase)
	huma.Register(api, write("/purchases/{purchase}/close", "close-purchase", "Say that no more will come of a purchase"), s.closePurchase)
	receive := write("/purchases/{purchase}/receipts", "receive-purchase", "Receive spools that came for a purchase, all or none")
	receive.DefaultStatus = http.StatusCreated
	huma.Register(api, receive, s.receivePurchase)
	sheet := operation(http.MethodGet, "/purchases/{purchase}/order.xlsx", "purchase-sheet", "The spreadsheet of a purchase for its supplier")
	sheet.Responses = map[string]*huma.Response{"200": {
		Description: "OK",
		Content:     map[string]*huma.MediaType{workbookType: {Schema: &huma.Schema{Type: "string", Format: "binary"}}},
	}}
	huma.Register(api, sheet, s.purchaseSheet)
	huma.Register(api, operation(http.MethodGet, "/wires/{wire}/terms", "terms", "A wire's own minimum and its supplier's price breaks"), s.terms)
	terms := write("/wires/{wire}/terms", "set-terms", "Set a wire's own minimum and its supplier's price breaks")
	terms.Method = http.MethodPut
	huma.Register(api, terms, s.setTerms)
}

// Purchase is wire ordered from one supplier.
type Purchase struct {
	Purchase        string            `json:"purchase"`
	Supplier        string            `json:"supplier"`
	Status          string            `json:"status" enum:"proposed,sent,part received,closed,cancelled"`
	Version         int               `json:"version" doc:"Counts its changes; a change names the one that was seen."`
	Night           *string           `json:"night" doc:"Whose check proposed it, while no person has changed it."`
	OrderedOn       *string           `json:"ordered_on"`
	PromisedOn      *string           `json:"promised_on"`
	DueOn           *string           `json:"due_on" doc:"Promised, or by the supplier's usual days."`
	Note            string            `json:"note"`
	MadeAt          string            `json:"made_at"`
	MadeBy          string            `json:"made_by"`
	Currency        string            `json:"currency"`
	Lines           []PurchaseLine    `json:"lines" doc:"By wire."`
	Freight         Amount            `json:"freight" doc:"Expected."`
	Total           Amount            `json:"total" doc:"With freight."`
	BelowMinimum    bool              `json:"below_minimum" doc:"Of the supplier."`
	Receipts        []PurchaseReceipt `json:"receipts" doc:"By day and spool."`
	PriceDifference Amount            `json:"price_difference" doc:"What came cost so much more than the ordered prices make of it, without freight; below zero less."`
}

// PurchaseLine is one wire of it.
type PurchaseLine struct {
	Wire          string  `json:"wire"`
	Packs         int     `json:"packs"`
	Kg            float64 `json:"kg"`
	PricePerKg    Amount  `json:"price_per_kg"`
	Cost          Amount  `json:"cost"`
	ReceivedKg    float64 `json:"received_kg"`
	OutstandingKg float64 `json:"outstanding_kg"`
}

// PurchaseReceipt is a spool that came for it.
type PurchaseReceipt struct {
	Spool           string `json:"spool"`
	Wire            string `json:"wire"`
	ReceivedOn      string `json:"received_on"`
	MassMg          int64  `json:"mass_mg"`
	Cost            Amount `json:"cost" doc:"Of its wire, without freight."`
	Expected        Amount `json:"expected" doc:"What the ordered price makes of its mass."`
	PriceDifference Amount `json:"price_difference"`
}

// PurchaseBody gives a purchase as JSON.
func PurchaseBody(p workshop.PurchaseStory) Purchase {
	c := p.Currency
	body := Purchase{
		Purchase: string(p.Code), Supplier: p.Supplier, Status: string(p.Status), Version: p.Version, Night: orNull(p.Night), OrderedOn: orNull(p.OrderedOn),
		PromisedOn: orNull(p.PromisedOn), DueOn: orNull(p.DueOn()), Note: p.Note, MadeAt: p.MadeAt.UTC().Format(rfc3339), MadeBy: p.MadeBy, Currency: string(c),
		Lines: []PurchaseLine{}, Freight: amount(c, p.Freight), Total: amount(c, p.Total()), BelowMinimum: p.BelowMinimum(),
		Receipts: []PurchaseReceipt{}, PriceDifference: amount(c, p.Difference()),
	}
	for _, l := range p.Lines {
		body.Lines = append(body.Lines, PurchaseLine{string(l.Wire), l.Packs, l.Mass.Kilograms(), amount(c, l.PricePerKg), amount(c, l.Cost()),
			l.Received.Kilograms(), l.Outstanding().Kilograms()})
	}
	for _, r := range p.Receipts {
		body.Receipts = append(body.Receipts, PurchaseReceipt{string(r.Spool), string(r.Wire), r.ReceivedOn.String(), int64(r.Mass), amount(c, r.Cost),
			amount(c, r.Expected), amount(c, r.Difference())})
	}
	return body
}

// Purchases is a list of them.
type Purchases struct {
	Purchases []Purchase `json:"purchases"`
}

// PurchasesBody gives purchases as JSON.
func PurchasesBody(stories []workshop.PurchaseStory) Purchases {
	body := Purchases{Purchases: []Purchase{}}
	for _, p := range stories {
		body.Purchases = append(body.Purchases, PurchaseBody(p))
	}
	return body
}

func (s *server) purchases(ctx context.Context, in *struct {
	Status string `query:"status" enum:"proposed,sent,part received,closed,cancelled" doc:"Only of this status."`
	Open   bool   `query:"open" doc:"Only those proposed or still to come."`
}) (*answer[Purchases], error) {
	list, err := s.shop.Purchases(ctx, workshop.PurchaseFilter{Status: purchase.Status(in.Status), OpenOnly: in.Open})
	return answered(list, err, PurchasesBody)
}

type purchaseInput struct {
	Purchase string `path:"purchase"`
}

func (s *server) purchase(ctx context.Context, in *purchaseInput) (*answer[Purchase], error) {
	p, err := s.shop.Purchase(ctx, purchase.Code(in.Purchase))
	return answered(p, err, PurchaseBody)
}

// PurchaseForm is a purchase to make, or the new content of one.
type PurchaseForm struct {
	Supplier   string             `json:"supplier,omitempty"`
	Lines      []PurchaseFormLine `json:"lines,omitempty" doc:"Without any, what the last nightly check asks for, or, in a change, those that stand."`
	PromisedOn TextOrNull         `json:"promised_on,omitempty" doc:"YYYY-MM-DD. In a change: null for none, left out as it stands."`
	Freight    DecimalOrNull      `json:"freight,omitempty" doc:"Expected. Null: what the supplier usually asks; in a change left out: as it stands."`
	Note       TextOrNull         `json:"note,omitempty" doc:"In a change: null for none, left out as it stands."`
}

// PurchaseFormLine is one wire of it: packs, or kilograms of which whole packs are made.
type PurchaseFormLine struct {
	Wire       string  `json:"wire"`
	Packs      int     `json:"packs,omitempty"`
	Kg         Decimal `json:"kg,omitempty"`
	PricePerKg Decimal `json:"price_per_kg,omitempty" doc:"Without it the supplier's."`
}

func (f PurchaseForm) form() workshop.PurchaseForm {
	form := workshop.PurchaseForm{Supplier: f.Supplier, PromisedOn: f.PromisedOn.text, Freight: f.Freight.text, Note: f.Note.text}
	for _, l := range f.Lines {
		form.Lines = append(form.Lines, workshop.PurchaseFormLine{Wire: l.Wire, Packs: l.Packs, Kg: string(l.Kg), PricePerKg: string(l.PricePerKg)})
	}
	return form
}

func (s *server) addPurchase(ctx context.Context, in *struct {
	Key  string `header:"Idempotency-Key" doc:"The same key posts once."`
	Body PurchaseForm
}) (*answer[Purchase], error) {
	form := in.Body.form()
	form.Key = in.Key
	p, err := s.shop.AddPurchase(ctx, form)
	return answered(p, err, PurchaseBody)
}

func (s *server) proposePurchases(ctx context.Context, in *struct {
	Date string `path:"date"`
}) (*answer[Purchases], error) {
	date, err := calendar.ParseDate(in.Date)
	if err != nil {
		return nil, problem.At("path.date", err)
	}
	list, err := s.shop.ProposePurchases(ctx, date, "")
	return answered(list, err, PurchasesBody)
}

func (s *server) changePurchase(ctx context.Context, in *struct {
	Purchase string `path:"purchase"`
	Body     struct {
		Version int `json:"version" minimum:"1" doc:"That was seen."`
		PurchaseForm
	}
}) (*answer[Purchase], error) {
	p, err := s.shop.ChangePurchase(ctx, purchase.Code(in.Purchase), in.Body.Version, in.Body.form())
	return answered(p, err, PurchaseBody)
}

func (s *server) sendPurchase(ctx context.Context, in *struct {
	Purchase string `path:"purchase"`
	Body     *struct {
		Version    int    `json:"version,omitempty" doc:"That was seen; without it the one that stands."`
		OrderedOn  string `json:"ordered_on,omitempty" doc:"YYYY-MM-DD; without it today."`
		PromisedOn string `json:"promised_on,omitempty" doc:"By the supplier, YYYY-MM-DD."`
		Reason     string `json:"reason,omitempty" maxLength:"1000" doc:"Why it goes although its lines cost less than the supplier takes orders for (below_minimum), where they do."`
	}
}) (*answer[Purchase], error) {
	// A program is not asked as a person is: the purchase it sends has told it below_minimum, and it was never asked before.
	how := workshop.Sending{Confirmed: true, Reason: "sent by a program, unasked"}
	if b := in.Body; b != nil {
		var err error
		how.Version, how.Reason = b.Version, cmp.Or(b.Reason, how.Reason)
		if how.OrderedOn, err = optionalDay("ordered_on", b.OrderedOn); err != nil {
			return nil, err
		}
		if how.PromisedOn, err = optionalDay("promised_on", b.PromisedOn); err != nil {
			return nil, err
		}
	}
	p, err := s.shop.SendPurchase(ctx, purchase.Code(in.Purchase), how)
	return answered(p, err, PurchaseBody)
}

// optionalDay reads a date that may be left out.
func optionalDay(field, text string) (calendar.Date, error) {
	if text == "" {
		return 0, nil
	}
	d, err := calendar.ParseDate(text)
	if err != nil {
		return 0, problem.At(field, err)
	}
	return d, nil
}

type purchaseReason struct {
	Purchase string `path:"purchase"`
	Body     *struct {
		Reason string `json:"reason,omitempty" maxLength:"1000"`
	}
}

func (in *purchaseReason) reason() string {
	if in.Body == nil {
		return ""
	}
	return in.Body.Reason
}

func (s *server) cancelPurchase(ctx context.Context, in *purchaseReason) (*answer[Purchase], error) {
	p, err := s.shop.CancelPurchase(ctx, purchase.Code(in.Purchase), in.reason())
	return answered(p, err, PurchaseBody)
}

func (s *server) closePurchase(ctx context.Context, in *purchaseReason) (*answer[Purchase], error) {
	p, err := s.shop.ClosePurchase(ctx, purchase.Code(in.Purchase), in.reason())
	return answered(p, err, PurchaseBody)
}

// PurchaseDelivery is a delivery for a purchase as it was taken in, and how the purchase stands.
type PurchaseDelivery struct {
	DeliveryOnShelf
	Purchase Purchase `json:"purchase"`
}

// PurchaseDeliveryBody gives it as JSON.
func PurchaseDeliveryBody(r workshop.PurchaseReceived) PurchaseDelivery {
	return PurchaseDelivery{DeliveryBody(r.Received), PurchaseBody(r.Purchase)}
}

func (s *server) receivePurchase(ctx context.Context, in *struct {
	Purchase string `path:"purchase"`
	Key      string `header:"Idempotency-Key" doc:"The same key posts once."`
	Body     struct {
		DeliveryReceipt
		Complete bool `json:"complete,omitempty" doc:"No more will come: the purchase is closed."`
	}
}) (*receipt[PurchaseDelivery], error) {
	texts := make([]intake.SpoolText, len(in.Body.Spools))
	for i, spool := range in.Body.Spools {
		texts[i] = spool.text()
	}
	invoice := intake.Invoice{Cost: string(in.Body.Cost), Freight: string(in.Body.Freight)}
	r, err := s.shop.ReceivePurchase(ctx, purchase.Code(in.Purchase), intake.SeveralSpools(texts), invoice, in.Body.Delivery, in.Body.Complete)
	return received(r.Received, err, func(workshop.Received) PurchaseDelivery { return PurchaseDeliveryBody(r) })
}

func (s *server) purchaseSheet(ctx context.Context, in *purchaseInput) (*workbook, error) {
	p, err := s.shop.Purchase(ctx, purchase.Code(in.Purchase))
	if err != nil {
		return nil, err
	}
	var book bytes.Buffer
	if err := exports.PurchaseOrder(&book, p); err != nil {
		return nil, err
	}
	return &workbook{ContentType: workbookType, Disposition: `attachment; filename="purchase-order.xlsx"`, Body: book.Bytes()}, nil
}

// Terms is what the shop adds to a wire for its buying.
type Terms struct {
	Wire     string       `json:"wire"`
	Currency string       `json:"currency"`
	MinimumG float64      `json:"minimum_g" doc:"For a wire that was never used; 0 for none."`
	Breaks   []PriceBreak `json:"breaks" doc:"Prices for a whole line from a mass on."`
}

// PriceBreak is one such price.
type PriceBreak struct {
	FromKg     float64 `json:"from_kg"`
	PricePerKg Amount  `json:"price_per_kg"`
}

// TermsForm is such terms to set in the place of those before.
type TermsForm struct {
	MinimumG Decimal     `json:"minimum_g,omitempty"`
	Breaks   []BreakForm `json:"breaks,omitempty"`
}

// BreakForm is one price of it.
type BreakForm struct {
	FromKg     Decimal `json:"from_kg"`
	PricePerKg Decimal `json:"price_per_kg"`
}

func (s *server) terms(ctx context.Context, in *struct {
	Wire string `path:"wire"`
}) (*answer[Terms], error) {
	t, err := s.shop.Terms(ctx, material.WireCode(in.Wire))
	return answered(t, err, TermsBody)
}

func (s *server) setTerms(ctx context.Context, in *struct {
	Wire string `path:"wire"`
	Body TermsForm
}) (*answer[Terms], error) {
	form := workshop.TermsForm{Wire: in.Wire, Minimum: string(in.Body.MinimumG)}
	for _, b := range in.Body.Breaks {
		form.Breaks = append(form.Breaks, workshop.BreakForm{FromKg: string(b.FromKg), PricePerKg: string(b.PricePerKg)})
	}
	t, err := s.shop.SetTerms(ctx, form)
	return answered(t, err, TermsBody)
}

// TermsBody gives terms as JSON.
func TermsBody(t workshop.Terms) Terms {
	body := Terms{Wire: string(t.Wire), Currency: string(t.Currency), MinimumG: t.Minimum.Grams(), Breaks: []PriceBreak{}}
	for _, b := range t.Breaks {
		body.Breaks = append(body.Breaks, PriceBreak{b.From.Kilograms(), amount(t.Currency, b.PricePerKg)})
	}
	return body
}
