package api

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/internal/order"
	"windingroom/internal/requirements"
	"windingroom/internal/workshop"
)

func (s *server) orders(api huma.API) {
	huma.Register(api, operation(http.MethodGet, "/orders/{order}", "order", "An order with what it still takes and what holds it up"), s.order)
	huma.Register(api, operation(http.MethodGet, "/shortages", "shortages", "Wires of which open orders need more than is free"), s.shortages)
}

type orderInput struct {
	Order string `path:"order"`
}

func (s *server) order(ctx context.Context, in *orderInput) (*answer[Order], error) {
	story, err := s.shop.Order(ctx, order.Code(in.Order))
	return answered(story, err, OrderBody)
}

func (s *server) shortages(ctx context.Context, _ *struct{}) (*answer[Shortages], error) {
	list, err := s.shop.Shortages(ctx)
	return answered(list, err, ShortagesBody)
}

// Order is an order with what it still takes.
type Order struct {
	Order       string      `json:"order"`
	Status      string      `json:"status"`
	OrderedOn   string      `json:"ordered_on" format:"date"`
	DueOn       string      `json:"due_on" format:"date"`
	Customer    string      `json:"customer"`
	Lines       []OrderLine `json:"lines"`
	ShortReason string      `json:"short_reason,omitempty" doc:"Why it was packed or shipped with strings missing."`
	Requirement []Need      `json:"requirement" doc:"Wire for the strings that no released batch covers yet, expected scrap included."`
	Shortages   []Shortage  `json:"shortages" doc:"Wires that hold this order up once earlier orders are served."`
	PromiseDate string      `json:"promise_date,omitempty" format:"date" doc:"The earliest day on which all its strings can be wound; left out where none can be promised, or nothing is left to wind."`
	PromisedOn  string      `json:"promised_on,omitempty" format:"date" doc:"The day the shop promised when it was confirmed; plans hold it to that or to the due day, whichever is later."`
	Promise     *Promise    `json:"promise,omitempty" doc:"What decides the promise date."`
	Learned     []Learned   `json:"learned,omitempty" doc:"What results say of its recipes; plans count on it."`
}

// OrderLine is a number of equal sets.
type OrderLine struct {
	Line     int           `json:"line"`
	Set      string        `json:"set,omitempty" doc:"Left out for a custom set."`
	Quantity int           `json:"quantity"`
	Strings  []OrderString `json:"strings"`
}

// OrderString is one string position of a line.
type OrderString struct {
	Position int     `json:"position"`
	Recipe   string  `json:"recipe"`
	ScaleIn  float64 `json:"scale_in"`
	Pitch    string  `json:"pitch"`
	Strings  int     `json:"strings" doc:"Ordered."`
	Open     int     `json:"open" doc:"Neither in a released batch nor wound."`
	Good     int     `json:"good" doc:"Wound."`
}

// Need is the wire that is needed.
type Need struct {
	Wire   string  `json:"wire"`
	MassMg int64   `json:"mass_mg"`
	MassG  float64 `json:"mass_g"`

	AllocatedMg int64  `json:"allocated_mg" doc:"Promised to this order."`
	ShortMg     int64  `json:"short_mg" doc:"Needed and not promised."`
	AvailableMg int64  `json:"available_to_promise_mg" doc:"May be promised by the due date beside all other orders, scheduled receipts included; below zero that much is promised too often."`
	AvailableOn string `json:"available_on,omitempty" format:"date" doc:"First day on which all that is needed may be promised; left out where nothing on its way brings enough."`
}

// OrderBody gives an order's story as JSON.
func OrderBody(story workshop.OrderStory) Order {
	o := story.Order
	body := Order{
		Order: string(o.Code), Status: string(o.Status), OrderedOn: o.OrderedOn.String(), DueOn: o.DueOn.String(), Customer: o.Customer,
		Lines: []OrderLine{}, Requirement: []Need{}, Shortages: ShortagesBody(story.Shortages).Shortages, ShortReason: o.Short,
	}
	body.PromisedOn = o.PromisedOn.String()
	if a := story.Promised; a != nil {
		p := promiseBody(o, *a)
		body.PromiseDate, body.Promise = p.Date, &p
	}
	for _, l := range story.Learned {
		body.Learned = append(body.Learned, LearnedBody(l))
	}
	open, good := map[[2]int]int{}, map[[2]int]int{}
	for _, g := range story.Good {
		good[[2]int{g.Line, g.Position}] += g.Strings
	}
	for _, d := range story.Open {
		open[[2]int{d.Line, d.Position}] += d.Strings
	}
	for _, l := range o.Lines {
		line := OrderLine{Line: l.Number, Set: string(l.Set), Quantity: l.Quantity, Strings: []OrderString{}}
		for _, s := range l.Strings {
			line.Strings = append(line.Strings, OrderString{
				Position: s.Position, Recipe: string(s.Recipe), ScaleIn: s.Scale.Inches(), Pitch: s.Pitch,
				Strings: l.Quantity, Open: open[[2]int{l.Number, s.Position}], Good: good[[2]int{l.Number, s.Position}],
			})
		}
		body.Lines = append(body.Lines, line)
	}
	for _, w := range story.Wires {
		n := Need{Wire: string(w.Wire), MassMg: int64(w.Needed), MassG: w.Needed.Grams(), AllocatedMg: int64(w.Mass), ShortMg: int64(w.Short()),
			AvailableMg: int64(w.Available)}
		if !w.From.IsZero() {
			n.AvailableOn = w.From.String()
		}
		body.Requirement = append(body.Requirement, n)
	}
	return body
}

// Shortages lists the wires that are short.
type Shortages struct {
	Shortages []Shortage `json:"shortages"`
}

// Shortage is a wire of which open orders need more than is free.
type Shortage struct {
	Wire    string   `json:"wire"`
	NeedMg  int64    `json:"need_mg"`
	FreeMg  int64    `json:"free_mg" doc:"Free and not a remnant."`
	ShortMg int64    `json:"short_mg"`
	Orders  []string `json:"orders" doc:"Orders that the wire does not reach to, earliest due first."`
}

// ShortagesBody gives shortages as JSON.
func ShortagesBody(list []requirements.Shortage) Shortages {
	body := Shortages{Shortages: []Shortage{}}
	for _, s := range list {
		body.Shortages = append(body.Shortages, Shortage{
			Wire: string(s.Wire), NeedMg: int64(s.Needed), FreeMg: int64(s.Drawable), ShortMg: int64(s.Short), Orders: texts(s.Orders),
		})
	}
	return body
}

// texts turns codes into texts; never nil.
func texts[C ~string](codes []C) []string {
	all := make([]string, len(codes))
	for i, c := range codes {
		all[i] = string(c)
	}
	return all
}
