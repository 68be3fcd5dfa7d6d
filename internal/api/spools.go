package api

import (
	"context"
	"errors"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/intake"
	"windingroom/internal/problem"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

func (s *server) shelf(api huma.API) {
	receive := write("/spools", "receive-spool", "Receive one spool; the same one with the same figures again changes nothing")
	receive.DefaultStatus = http.StatusCreated
	huma.Register(api, receive, s.receiveSpool)
	deliver := write("/deliveries", "receive-delivery", "Receive spools that came together, all or none; one cost and the freight are split by net mass")
	deliver.DefaultStatus = http.StatusCreated
	huma.Register(api, deliver, s.receiveDelivery)

	huma.Register(api, write("/spools/{spool}/place", "place-spool", "Carry a spool to another place"), s.place)
	huma.Register(api, write("/spools/{spool}/quarantine", "quarantine-spool", "Keep a spool out of plans; refused while batches hold wire of it"), s.quarantine)
	huma.Register(api, write("/spools/{spool}/release", "release-spool", "Give a quarantined spool back to planning"), s.releaseSpool)
	huma.Register(api, write("/spools/{spool}/return", "return-spool", "Send a spool, or a part of its wire, back to the supplier"), s.returnSpool)
	huma.Register(api, write("/spools/{spool}/write-off", "write-off-spool", "Take wire off the books"), s.writeOff)
	huma.Register(api, write("/movements/{movement}/reversal", "reverse-movement", "Take back a movement that should not have been posted"), s.reverse)
	huma.Register(api, operation(http.MethodGet, "/remnants", "remnants", "Ends below the usable end, for scrap sale or use"), s.remnants)
}

// SpoolReceipt is a spool as it came in: the columns of spools.csv.
type SpoolReceipt struct {
	Spool      string  `json:"spool"`
	Wire       string  `json:"wire"`
	Lot        string  `json:"lot"`
	ReceivedOn string  `json:"received_on,omitempty" doc:"YYYY-MM-DD; without it today."`
	GrossG     Decimal `json:"gross_g"`
	TareG      Decimal `json:"tare_g,omitempty" doc:"Of the empty spool; without it that of the spool type."`
	SpoolType  string  `json:"spool_type,omitempty"`
	Cost       Decimal `json:"cost,omitempty" doc:"Of the net wire, with the currency's decimals. Left out where the whole delivery has one cost."`
	Location   string  `json:"location,omitempty"`
}

func (r SpoolReceipt) text() intake.SpoolText {
	return intake.SpoolText{Spool: r.Spool, Wire: r.Wire, Lot: r.Lot, Gross: string(r.GrossG), ReceivedOn: r.ReceivedOn, Tare: string(r.TareG),
		Cost: string(r.Cost), Location: r.Location, SpoolType: r.SpoolType}
}

type receipt[T any] struct {
	Status int
	Body   T
}

// received answers with 201, or 200 where everything was here before.
func received[T any](r workshop.Received, err error, body func(workshop.Received) T) (*receipt[T], error) {
	if err != nil {
		return nil, err
	}
	status := http.StatusCreated
	if r.Before {
		status = http.StatusOK
	}
	return &receipt[T]{status, body(r)}, nil
}

func (s *server) receiveSpool(ctx context.Context, in *struct{ Body SpoolReceipt }) (*receipt[Spool], error) {
	r, err := s.shop.ReceiveSpool(ctx, intake.OneSpool(in.Body.text()))
	return received(r, err, func(r workshop.Received) Spool { return spoolBody(r.Spools[0], r.Currency) })
}

// DeliveryReceipt is spools that came together.
type DeliveryReceipt struct {
	Delivery string         `json:"delivery,omitempty" doc:"Code of the delivery; one is made up where none is given."`
	Cost     Decimal        `json:"cost,omitempty" doc:"Of all wire together; left out where each spool has its own."`
	Freight  Decimal        `json:"freight,omitempty" doc:"On top of the cost."`
	Spools   []SpoolReceipt `json:"spools"`
}

func (s *server) receiveDelivery(ctx context.Context, in *struct{ Body DeliveryReceipt }) (*receipt[DeliveryOnShelf], error) {
	texts := make([]intake.SpoolText, len(in.Body.Spools))
	for i, spool := range in.Body.Spools {
		texts[i] = spool.text()
	}
	invoice := intake.Invoice{Cost: string(in.Body.Cost), Freight: string(in.Body.Freight)}
	r, err := s.shop.ReceiveDelivery(ctx, intake.SeveralSpools(texts), invoice, in.Body.Delivery)
	return received(r, err, DeliveryBody)
}

// DeliveryOnShelf is a delivery as it was taken in.
type DeliveryOnShelf struct {
	Delivery string  `json:"delivery,omitempty"`
	Changed  bool    `json:"changed" doc:"False where everything was here before."`
	Currency string  `json:"currency"`
	Cost     Amount  `json:"cost"`
	Freight  Amount  `json:"freight"`
	Spools   []Spool `json:"spools" doc:"Their costs sum to cost and freight."`
	Labels   string  `json:"labels" doc:"Address of the workbook with their labels."`
}

// DeliveryBody gives a delivery as JSON.
func DeliveryBody(r workshop.Received) DeliveryOnShelf {
	body := DeliveryOnShelf{Delivery: r.Delivery, Changed: !r.Before, Currency: string(r.Currency), Cost: amount(r.Currency, r.Cost),
		Freight: amount(r.Currency, r.Freight), Spools: []Spool{}, Labels: labelsAddress(r)}
	for _, b := range r.Spools {
		body.Spools = append(body.Spools, spoolBody(b, r.Currency))
	}
	return body
}

// SpoolBody gives one spool as JSON.
func SpoolBody(now workshop.SpoolNow) Spool { return spoolBody(now.Spool, now.Currency) }

func (s *server) place(ctx context.Context, in *struct {
	Spool string `path:"spool"`
	Body  struct {
		Location string `json:"location"`
	}
}) (*answer[Spool], error) {
	now, err := s.shop.Place(ctx, stock.SpoolCode(in.Spool), in.Body.Location)
	return answered(now, err, SpoolBody)
}

type reasonInput struct {
	Spool string `path:"spool"`
	Body  struct {
		Reason string `json:"reason"`
	}
}

func (s *server) quarantine(ctx context.Context, in *reasonInput) (*answer[Spool], error) {
	now, err := s.shop.Quarantine(ctx, stock.SpoolCode(in.Spool), in.Body.Reason)
	return answered(now, err, SpoolBody)
}

func (s *server) releaseSpool(ctx context.Context, in *reasonInput) (*answer[Spool], error) {
	now, err := s.shop.ReleaseSpool(ctx, stock.SpoolCode(in.Spool), in.Body.Reason)
	return answered(now, err, SpoolBody)
}

// The use case keeps the key with the movement, so that it holds even where the answer was lost.
type takeOffInput struct {
	Spool string `path:"spool"`
	Key   string `header:"Idempotency-Key" doc:"The same key posts once."`
	Body  struct {
		MassG  Decimal `json:"mass_g,omitempty" doc:"Without it, all that is there."`
		Reason string  `json:"reason"`
	}
}

var errNoMass = errors.New("must be more than 0; leave it out for all that is there")

func (in *takeOffInput) takeOff() (workshop.TakeOff, error) {
	out := workshop.TakeOff{Spool: stock.SpoolCode(in.Spool), Reason: in.Body.Reason, Key: in.Key}
	if in.Body.MassG == "" {
		return out, nil
	}
	mass, err := in.Body.MassG.grams("mass_g")
	if err == nil && mass == 0 {
		err = problem.At("mass_g", errNoMass)
	}
	out.Mass = mass
	return out, err
}

func (s *server) returnSpool(ctx context.Context, in *takeOffInput) (*answer[PostedMovement], error) {
	return posted(ctx, in, s.shop.ReturnToSupplier)
}

func (s *server) writeOff(ctx context.Context, in *takeOffInput) (*answer[PostedMovement], error) {
	return posted(ctx, in, s.shop.WriteOff)
}

func posted(ctx context.Context, in *takeOffInput, do func(context.Context, workshop.TakeOff) (workshop.Posted, error)) (*answer[PostedMovement], error) {
	takeOff, err := in.takeOff()
	if err != nil {
		return nil, err
	}
	p, err := do(ctx, takeOff)
	return answered(p, err, PostedBody)
}

func (s *server) reverse(ctx context.Context, in *struct {
	Movement int64 `path:"movement"`
	Body     struct {
		Reason string `json:"reason"`
	}
}) (*answer[PostedMovement], error) {
	p, err := s.shop.Reverse(ctx, stock.MovementID(in.Movement), in.Body.Reason)
	return answered(p, err, PostedBody)
}

// PostedMovement is a movement with what its spool holds now.
type PostedMovement struct {
	Movement Movement `json:"movement"`
	MassMg   int64    `json:"mass_mg" doc:"What the spool holds now."`
	Spool    Spool    `json:"spool"`
}

// PostedBody gives a movement and its spool as JSON.
func PostedBody(p workshop.Posted) PostedMovement {
	return PostedMovement{Movement: movementBody(p.Movement, p.Currency), MassMg: int64(p.Spool.Mass), Spool: spoolBody(p.Spool, p.Currency)}
}

func (s *server) remnants(ctx context.Context, _ *struct{}) (*answer[Remnants], error) {
	list, err := s.shop.Remnants(ctx)
	return answered(list, err, RemnantsBody)
}

// Remnants is the ends below the usable end.
type Remnants struct {
	Currency string         `json:"currency"`
	Spools   []Remnant      `json:"spools"`
	Alloys   []RemnantAlloy `json:"alloys" doc:"What a scrap dealer weighs."`
}

// Remnant is one such end.
type Remnant struct {
	Spool
	Alloy       string `json:"alloy"`
	UsableEndMg int64  `json:"usable_end_mg"`
}

// RemnantAlloy is the remnants of one alloy.
type RemnantAlloy struct {
	Alloy  string `json:"alloy"`
	Spools int    `json:"spools"`
	MassMg int64  `json:"mass_mg"`
	Cost   Amount `json:"cost"`
}

// RemnantsBody gives remnants as JSON.
func RemnantsBody(list workshop.RemnantList) Remnants {
	body := Remnants{Currency: string(list.Currency), Spools: []Remnant{}, Alloys: []RemnantAlloy{}}
	for _, r := range list.Spools {
		body.Spools = append(body.Spools, Remnant{spoolBody(r.Balance, list.Currency), string(r.Alloy), int64(r.UsableEnd)})
	}
	for _, a := range list.Alloys {
		body.Alloys = append(body.Alloys, RemnantAlloy{string(a.Alloy), a.Spools, int64(a.Mass), amount(list.Currency, a.Value)})
	}
	return body
}
