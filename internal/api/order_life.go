package api

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/catalog"
	"windingroom/internal/intake"
	"windingroom/internal/order"
	"windingroom/internal/workshop"
)

func (s *server) orderLife(api huma.API) {
	add := write("/orders", "add-order", "Take an order in, as a draft or confirmed; the same one again changes nothing")
	add.DefaultStatus = http.StatusCreated
	huma.Register(api, add, s.addOrder)
	change := write("/orders/{order}", "change-order", "Put another content into a draft, confirmed or planned order; strings in released batches cannot be taken away")
	change.Method = http.MethodPut
	huma.Register(api, change, s.changeOrder)
	huma.Register(api, write("/orders/{order}/confirm", "confirm-order", "Confirm a draft: its wire is allocated as far as it is free"), s.confirmOrder)
	huma.Register(api, write("/orders/{order}/cancel", "cancel-order", "Cancel an order: its wire is free again"), s.cancelOrder)
	huma.Register(api, write("/orders/{order}/pack", "pack-order", "Pack an order whose strings all exist, or with a reason one that lacks some"), s.packOrder)
	huma.Register(api, write("/orders/{order}/ship", "ship-order", "Ship an order whose strings all exist, or with a reason one that lacks some"), s.shipOrder)
	huma.Register(api, operation(http.MethodGet, "/recipes/{recipe}/learned", "learned", "What results say of a recipe"), s.learned)
}

// OrderForm is an order to take in, or the new content of one.
type OrderForm struct {
	Order     string          `json:"order,omitempty" doc:"Needed where the address does not name it."`
	OrderedOn string          `json:"ordered_on" doc:"YYYY-MM-DD"`
	DueOn     string          `json:"due_on" doc:"YYYY-MM-DD"`
	Customer  string          `json:"customer"`
	Lines     []OrderFormLine `json:"lines"`
	Confirm   bool            `json:"confirm,omitempty" doc:"Confirm it at once; a change leaves this aside."`
}

// OrderFormLine is a number of equal sets: a standing set, or the strings of a custom one.
type OrderFormLine struct {
	Line     Decimal           `json:"line"`
	Set      string            `json:"set,omitempty"`
	Quantity Decimal           `json:"quantity" doc:"Sets."`
	Strings  []OrderFormString `json:"strings,omitempty"`
}

// OrderFormString is one string position of a custom set.
type OrderFormString struct {
	Position Decimal `json:"position"`
	Recipe   string  `json:"recipe"`
	ScaleIn  Decimal `json:"scale_in"`
	Pitch    Decimal `json:"pitch" doc:"E4, F#2, Bb1 or hertz"`
}

func (f OrderForm) form() intake.OrderForm {
	form := intake.OrderForm{Order: f.Order, OrderedOn: f.OrderedOn, DueOn: f.DueOn, Customer: f.Customer}
	for _, l := range f.Lines {
		line := intake.OrderFormLine{Line: string(l.Line), Set: l.Set, Quantity: string(l.Quantity)}
		for _, str := range l.Strings {
			line.Strings = append(line.Strings, intake.OrderFormString{
				Position: string(str.Position), Recipe: str.Recipe, Scale: string(str.ScaleIn), Pitch: string(str.Pitch),
			})
		}
		form.Lines = append(form.Lines, line)
	}
	return form
}

func (s *server) addOrder(ctx context.Context, in *struct {
	Key  string `header:"Idempotency-Key" doc:"The same key posts once."`
	Body OrderForm
}) (*answer[Order], error) {
	story, err := s.shop.AddOrder(ctx, in.Body.form(), in.Body.Confirm)
	return answered(story, err, OrderBody)
}

func (s *server) changeOrder(ctx context.Context, in *struct {
	Order string `path:"order"`
	Body  OrderForm
}) (*answer[Order], error) {
	story, err := s.shop.ChangeOrder(ctx, order.Code(in.Order), in.Body.form())
	return answered(story, err, OrderBody)
}

// orderReason is an act on an order, with a reason where one is given. The body may be left out.
type orderReason struct {
	Order string `path:"order"`
	Key   string `header:"Idempotency-Key" doc:"The same key posts once."`
	Body  *struct {
		Reason string `json:"reason,omitempty" maxLength:"1000"`
	}
}

func (in *orderReason) reason() string {
	if in.Body == nil {
		return ""
	}
	return in.Body.Reason
}

func (s *server) confirmOrder(ctx context.Context, in *orderReason) (*answer[Order], error) {
	story, err := s.shop.ConfirmOrder(ctx, order.Code(in.Order))
	return answered(story, err, OrderBody)
}

func (s *server) cancelOrder(ctx context.Context, in *orderReason) (*answer[Order], error) {
	story, err := s.shop.CancelOrder(ctx, order.Code(in.Order), in.reason())
	return answered(story, err, OrderBody)
}

func (s *server) packOrder(ctx context.Context, in *orderReason) (*answer[Order], error) {
	story, err := s.shop.PackOrder(ctx, order.Code(in.Order), in.reason())
	return answered(story, err, OrderBody)
}

func (s *server) shipOrder(ctx context.Context, in *orderReason) (*answer[Order], error) {
	story, err := s.shop.ShipOrder(ctx, order.Code(in.Order), in.reason())
	return answered(story, err, OrderBody)
}

func (s *server) learned(ctx context.Context, in *struct {
	Recipe string `path:"recipe"`
}) (*answer[Learned], error) {
	l, err := s.shop.Learned(ctx, catalog.RecipeCode(in.Recipe))
	return answered(l, err, LearnedBody)
}

// Learned is what results say of a recipe.
type Learned struct {
	Recipe         string  `json:"recipe"`
	StatedYield    float64 `json:"stated_yield"`
	Yield          float64 `json:"yield" doc:"Expected share of good strings; plans count on it. Without results the stated one."`
	YieldSD        float64 `json:"yield_sd" doc:"Standard deviation of that belief."`
	Good           int     `json:"good"`
	Scrapped       int     `json:"scrapped"`
	FamilyRecipes  int     `json:"family_recipes" doc:"Recipes of its kind, itself included."`
	FamilyGood     int     `json:"family_good" doc:"Of the other recipes of its family."`
	FamilyScrapped int     `json:"family_scrapped"`
	WireFactor     float64 `json:"wire_factor" doc:"Measured over computed mass of its wraps; plans count on it. 1 where nothing was weighed."`
	FactorError    float64 `json:"wire_factor_error" doc:"Standard error."`
	Weighings      int     `json:"weighings" doc:"Of its own."`
	Questioned     string  `json:"questioned,omitempty" doc:"Why what was weighed is not believed."`
}

// LearnedBody gives what was learned of a recipe as JSON.
func LearnedBody(l workshop.Learned) Learned {
	return Learned{
		Recipe: string(l.Recipe), StatedYield: l.Stated, Yield: l.Yield.Mean, YieldSD: l.Yield.SD, Good: l.Own.Good, Scrapped: l.Own.Scrapped,
		FamilyRecipes: l.Members, FamilyGood: l.Family.Good, FamilyScrapped: l.Family.Scrapped,
		WireFactor: l.Factor.Value, FactorError: l.Factor.StdError, Weighings: l.Factor.Weighings, Questioned: l.Questioned,
	}
}

// ReadOrderForm reads an order as it would be posted.
func ReadOrderForm(body []byte) (intake.OrderForm, error) {
	var f OrderForm
	d := json.NewDecoder(bytes.NewReader(body))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil {
		return intake.OrderForm{}, err
	}
	return f.form(), nil
}
