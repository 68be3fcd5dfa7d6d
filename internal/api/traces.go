package api

import (
	"bytes"
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/exports"
	"windingroom/internal/order"
	"windingroom/internal/workshop"
)

func (s *server) traces(api huma.API) {
	huma.Register(api, operation(http.MethodGet, "/trace/order/{order}", "trace-order", "From an order's strings to batches, spools, lots and suppliers"), s.traceOrder)
	huma.Register(api, operation(http.MethodGet, "/trace/lot/{lot}", "trace-lot", "From a supplier's lot to spools, batches and every order"), s.traceLot)
	recall := operation(http.MethodGet, "/trace/lot/{lot}/recall.xlsx", "recall", "The recall list of a lot as a workbook")
	recall.Responses = map[string]*huma.Response{"200": {
		Description: "OK",
		Content:     map[string]*huma.MediaType{workbookType: {Schema: &huma.Schema{Type: "string", Format: "binary"}}},
	}}
	huma.Register(api, recall, s.recall)
}

func (s *server) traceOrder(ctx context.Context, in *orderInput) (*answer[OrderTrace], error) {
	t, err := s.shop.TraceOrder(ctx, order.Code(in.Order))
	return answered(t, err, OrderTraceBody)
}

type lotInput struct {
	Lot string `path:"lot"`
}

func (s *server) traceLot(ctx context.Context, in *lotInput) (*answer[LotTrace], error) {
	t, err := s.shop.TraceLot(ctx, in.Lot)
	return answered(t, err, LotTraceBody)
}

func (s *server) recall(ctx context.Context, in *lotInput) (*workbook, error) {
	t, err := s.shop.TraceLot(ctx, in.Lot)
	if err != nil {
		return nil, err
	}
	var book bytes.Buffer
	if err := exports.RecallList(&book, t); err != nil {
		return nil, err
	}
	return &workbook{ContentType: workbookType, Disposition: `attachment; filename="recall.xlsx"`, Body: book.Bytes()}, nil
}

// OrderTrace is an order with what every good string was wound from.
type OrderTrace struct {
	Order    string         `json:"order"`
	Status   string         `json:"status"`
	Customer string         `json:"customer"`
	DueOn    string         `json:"due_on" format:"date"`
	Strings  []TracedString `json:"strings" doc:"By line and position; strings not wound yet are not listed."`
}

// TracedString is the good strings that one result gave to one string of an order.
type TracedString struct {
	Line     int           `json:"line"`
	Position int           `json:"position"`
	Recipe   string        `json:"recipe"`
	ScaleIn  float64       `json:"scale_in"`
	Strings  int           `json:"strings"`
	Batch    string        `json:"batch"`
	Result   int           `json:"result"`
	WoundOn  string        `json:"wound_on" format:"date"`
	Machine  string        `json:"machine"`
	Person   string        `json:"person"`
	Spools   []TracedSpool `json:"spools"`
}

// TracedSpool is a spool that strings hold wire of. Where a result took a wire from several spools, any of its strings may be from
// each of them: strings and mass are then the most there can be.
type TracedSpool struct {
	Spool      string `json:"spool"`
	Wire       string `json:"wire"`
	Lot        string `json:"lot"`
	Supplier   string `json:"supplier,omitempty"`
	ReceivedOn string `json:"received_on" format:"date"`
	Strings    int    `json:"strings"`
	MassMg     int64  `json:"mass_mg"`
}

// OrderTraceBody gives an order's trace as JSON.
func OrderTraceBody(t workshop.OrderTrace) OrderTrace {
	o := t.Order
	body := OrderTrace{Order: string(o.Code), Status: string(o.Status), Customer: o.Customer, DueOn: o.DueOn.String(), Strings: []TracedString{}}
	for _, s := range t.Strings {
		n := len(body.Strings)
		if n == 0 || !sameString(body.Strings[n-1], s) {
			body.Strings = append(body.Strings, TracedString{
				Line: s.Line, Position: s.Position, Recipe: string(s.Recipe), ScaleIn: s.Scale.Inches(), Strings: s.Strings, Batch: string(s.Batch),
				Result: s.Result, WoundOn: s.WoundOn.String(), Machine: string(s.Machine), Person: s.Person, Spools: []TracedSpool{},
			})
			n++
		}
		if s.Spool != "" {
			body.Strings[n-1].Spools = append(body.Strings[n-1].Spools, tracedSpool(s))
		}
	}
	return body
}

func sameString(b TracedString, s workshop.TracedString) bool {
	return b.Line == s.Line && b.Position == s.Position && b.Batch == string(s.Batch) && b.Result == s.Result
}

func tracedSpool(s workshop.TracedString) TracedSpool {
	return TracedSpool{Spool: string(s.Spool), Wire: string(s.Wire), Lot: s.Lot, Supplier: s.Supplier, ReceivedOn: s.ReceivedOn.String(),
		Strings: s.AtMost(), MassMg: int64(s.Mass())}
}

// LotTrace is a lot with everything that was wound from it.
type LotTrace struct {
	Lot      string      `json:"lot"`
	Supplier string      `json:"supplier,omitempty"`
	Spools   []LotSpool  `json:"spools"`
	Batches  []LotBatch  `json:"batches"`
	Orders   []LotOrder  `json:"orders"`
	Finished int         `json:"finished_strings" doc:"Strings in finished stock that may hold wire of the lot."`
	Strings  []LotString `json:"strings"`
}

// LotSpool is a spool of the lot.
type LotSpool struct {
	Spool      string `json:"spool"`
	Wire       string `json:"wire"`
	ReceivedOn string `json:"received_on" format:"date"`
	ReceivedMg int64  `json:"received_mg"`
	DrawnMg    int64  `json:"drawn_mg"`
	OnHandMg   int64  `json:"on_hand_mg"`
}

// LotBatch is a batch that drew on the lot, or is still to be wound from it.
type LotBatch struct {
	Batch   string  `json:"batch"`
	Date    string  `json:"date" format:"date"`
	Machine string  `json:"machine"`
	Status  string  `json:"status"`
	Recipe  string  `json:"recipe"`
	ScaleIn float64 `json:"scale_in"`
	DrawnMg int64   `json:"drawn_mg"`
	HeldMg  int64   `json:"held_mg" doc:"Still to be drawn."`
}

// LotOrder is an order with strings that may hold wire of the lot.
type LotOrder struct {
	Order    string `json:"order"`
	Customer string `json:"customer"`
	Status   string `json:"status"`
	Strings  int    `json:"strings"`
	MassMg   int64  `json:"mass_mg"`
}

// LotString is a number of strings, of an order or of finished stock, with the spool of the lot.
type LotString struct {
	Order string `json:"order,omitempty" doc:"Left out for finished stock."`
	TracedString
}

// LotTraceBody gives a lot's trace as JSON.
func LotTraceBody(t workshop.LotTrace) LotTrace {
	body := LotTrace{Lot: t.Lot, Spools: []LotSpool{}, Batches: []LotBatch{}, Orders: []LotOrder{}, Strings: []LotString{}}
	for _, s := range t.Spools {
		body.Supplier = s.Supplier
		body.Spools = append(body.Spools, LotSpool{Spool: string(s.Spool), Wire: string(s.Wire), ReceivedOn: s.ReceivedOn.String(),
			ReceivedMg: int64(s.Received), DrawnMg: int64(s.Drawn), OnHandMg: int64(s.OnHand)})
	}
	for _, b := range t.Batches {
		body.Batches = append(body.Batches, LotBatch{Batch: string(b.Batch), Date: b.Date.String(), Machine: string(b.Machine), Status: string(b.Status),
			Recipe: string(b.Recipe), ScaleIn: b.Scale.Inches(), DrawnMg: int64(b.Drawn), HeldMg: int64(b.Held)})
	}
	for _, o := range t.Orders() {
		if o.Order == "" {
			body.Finished = o.Strings
			continue
		}
		body.Orders = append(body.Orders, LotOrder{Order: string(o.Order), Customer: o.First.Customer, Status: string(o.First.Status), Strings: o.Strings, MassMg: int64(o.Mass)})
	}
	for _, s := range t.Strings {
		body.Strings = append(body.Strings, LotString{Order: string(s.Order), TracedString: TracedString{
			Line: s.Line, Position: s.Position, Recipe: string(s.Recipe), ScaleIn: s.Scale.Inches(), Strings: s.Strings, Batch: string(s.Batch),
			Result: s.Result, WoundOn: s.WoundOn.String(), Machine: string(s.Machine), Person: s.Person, Spools: []TracedSpool{tracedSpool(s)},
		}})
	}
	return body
}
