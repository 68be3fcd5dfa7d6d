package api

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"windingroom/exports"
	"windingroom/internal/calendar"
	"windingroom/internal/costing"
	"windingroom/internal/httpd"
	"windingroom/internal/material"
	"windingroom/internal/money"
	"windingroom/internal/problem"
	"windingroom/internal/purchase"
	"windingroom/internal/workshop"
)

func (s *server) periods(api huma.API) {
	huma.Register(api, operation(http.MethodGet, "/periods", "periods", "The months of the books, the newest first"), s.months)
	huma.Register(api, write("/periods/{month}/close", "close-period", "Lock a month: nothing posts into it or before it any more"), s.closeMonth)
	huma.Register(api, write("/periods/{month}/reopen", "reopen-period", "Open the last closed month again; the reason is kept for ever"), s.reopenMonth)
	huma.Register(api, booksOperation(), s.monthBooks)
	huma.Register(api, operation(http.MethodGet, "/periods/{month}/explain", "explain", "From a figure of the roll-forward to its movements, their batches and people"), s.explain)
	huma.Register(api, operation(http.MethodGet, "/methods", "methods", "By which method the books value each alloy's wires"), s.methods)
	huma.Register(api, write("/methods", "choose-method", "Choose the books' method of an alloy from a month on"), s.chooseMethod)
	huma.Register(api, write("/purchases/{purchase}/invoices", "invoice-purchase", "Note a supplier's invoice for a purchase"), s.invoice)
}

// period reads a month of a field.
func period(field, text string) (costing.Period, error) {
	p, err := costing.ParsePeriod(text)
	if err != nil {
		return 0, problem.At(field, err)
	}
	return p, nil
}

func (s *server) months(ctx context.Context, _ *struct{}) (*answer[Months], error) {
	months, err := s.shop.Months(ctx)
	return answered(months, err, MonthsBody)
}

func (s *server) closeMonth(ctx context.Context, in *struct {
	Month string `path:"month" pattern:"^[0-9]{4}-[0-9]{2}$" doc:"YYYY-MM"`
	Key   string `header:"Idempotency-Key" minLength:"1" maxLength:"255" pattern:"^[!-~]+$" doc:"Repeat a request with the same key and it is done once."`
}) (*answer[Period], error) {
	month, err := period("path.month", in.Month)
	if err != nil {
		return nil, err
	}
	closed, err := s.shop.CloseMonth(ctx, month)
	return answered(closed, err, PeriodBody)
}

func (s *server) reopenMonth(ctx context.Context, in *struct {
	Month string `path:"month" pattern:"^[0-9]{4}-[0-9]{2}$" doc:"YYYY-MM"`
	Key   string `header:"Idempotency-Key" minLength:"1" maxLength:"255" pattern:"^[!-~]+$" doc:"Repeat a request with the same key and it is done once."`
	Body  struct {
		Reason string `json:"reason" minLength:"1" maxLength:"1000"`
	}
}) (*answer[Months], error) {
	month, err := period("path.month", in.Month)
	if err != nil {
		return nil, err
	}
	if err := s.shop.ReopenMonth(ctx, month, in.Body.Reason); err != nil {
		return nil, err
	}
	return s.months(ctx, nil)
}

func booksOperation() huma.Operation {
	op := operation(http.MethodGet, "/periods/{month}/books.xlsx", "books", "The books of a month, or of the months up to another, as a workbook")
	op.Responses = map[string]*huma.Response{"200": {
		Description: "OK",
		Content:     map[string]*huma.MediaType{workbookType: {Schema: &huma.Schema{Type: "string", Format: "binary"}}},
	}}
	return op
}

// monthBooks writes the workbook into a file that is gone once it is sent: however long the books are, they are never in memory, and a
// failure is never half a file with status 200.
func (s *server) monthBooks(ctx context.Context, in *struct {
	Month string `path:"month" pattern:"^[0-9]{4}-[0-9]{2}$" doc:"YYYY-MM"`
	Until string `query:"until" pattern:"^[0-9]{4}-[0-9]{2}$" doc:"YYYY-MM, the last month; without it the one month."`

	Unreconciled bool `query:"unreconciled" doc:"The workbook also where a check differs, to look into it; without it that is refused with 409."`
}) (*huma.StreamResponse, error) {
	from, err := period("path.month", in.Month)
	if err != nil {
		return nil, err
	}
	to := from
	if in.Until != "" {
		if to, err = period("query.until", in.Until); err != nil {
			return nil, err
		}
	}
	file, err := httpd.Scratch()
	if err != nil {
		return nil, err
	}
	gone := func() { _ = file.Close() }
	err = s.shop.Books(ctx, from, to, func(b *workshop.Books) error {
		if err := b.Reconciled(); err != nil && !in.Unreconciled {
			return err
		}
		return exports.Books(file, b)
	})
	if err == nil {
		_, err = file.Seek(0, io.SeekStart)
	}
	if err != nil {
		gone()
		return nil, err
	}
	return &huma.StreamResponse{Body: func(c huma.Context) {
		defer gone()
		c.SetHeader("Content-Type", workbookType)
		c.SetHeader("Content-Disposition", fmt.Sprintf(`attachment; filename="books-%s.xlsx"`, in.Month))
		_, _ = io.Copy(c.BodyWriter(), file) // who asked may have gone
	}}, nil
}

func (s *server) explain(ctx context.Context, in *struct {
	Month  string `path:"month" pattern:"^[0-9]{4}-[0-9]{2}$" doc:"YYYY-MM"`
	Wire   string `query:"wire" required:"true"`
	Column string `query:"column" required:"true" enum:"opening,received,drawn,scrap,difference,closing"`
}) (*answer[Explained], error) {
	month, err := period("path.month", in.Month)
	if err != nil {
		return nil, err
	}
	e, err := s.shop.Explain(ctx, month, material.WireCode(in.Wire), in.Column)
	return answered(e, err, ExplainedBody)
}

func (s *server) methods(ctx context.Context, _ *struct{}) (*answer[Methods], error) {
	methods, err := s.shop.CostMethods(ctx)
	return answered(methods, err, MethodsBody)
}

func (s *server) chooseMethod(ctx context.Context, in *struct {
	Key  string `header:"Idempotency-Key" minLength:"1" maxLength:"255" pattern:"^[!-~]+$" doc:"Repeat a request with the same key and it is done once."`
	Body struct {
		Alloy  string `json:"alloy,omitempty" doc:"Without it every alloy that has no choice of its own."`
		Method string `json:"method" enum:"specific,fifo,moving average"`
		From   string `json:"from" doc:"YYYY-MM"`
		Reason string `json:"reason" minLength:"1" maxLength:"1000"`
	}
}) (*answer[Methods], error) {
	from, err := period("from", in.Body.From)
	if err != nil {
		return nil, err
	}
	m := costing.Method{Family: in.Body.Alloy, Formula: costing.Formula(in.Body.Method), From: from}
	if _, err := s.shop.SetCostMethod(ctx, m, in.Body.Reason); err != nil {
		return nil, err
	}
	return s.methods(ctx, nil)
}

func (s *server) invoice(ctx context.Context, in *struct {
	Purchase string `path:"purchase"`
	Key      string `header:"Idempotency-Key" minLength:"1" maxLength:"255" pattern:"^[!-~]+$" doc:"Repeat a request with the same key and it is done once."`
	Body     struct {
		Number     string  `json:"number" minLength:"1" maxLength:"200" doc:"The supplier's."`
		Amount     Decimal `json:"amount" doc:"Freight included; below zero for a credit note."`
		InvoicedOn string  `json:"invoiced_on" format:"date"`
		Part       bool    `json:"part,omitempty" doc:"Others are to come for what came: nothing is settled yet."`
		Corrects   string  `json:"corrects,omitempty" maxLength:"200" doc:"The number of the invoice that it corrects."`
		Confirm    bool    `json:"confirm,omitempty" doc:"A difference of more than a quarter is right."`
	}
}) (*answer[Invoice], error) {
	on, err := date("invoiced_on", in.Body.InvoicedOn)
	if err != nil {
		return nil, err
	}
	noted, err := s.shop.InvoicePurchase(ctx, workshop.NewInvoice{Purchase: purchase.Code(in.Purchase), Number: in.Body.Number, Amount: string(in.Body.Amount),
		On: on, Part: in.Body.Part, Corrects: in.Body.Corrects, Confirmed: in.Body.Confirm})
	return answered(noted, err, func(n workshop.Invoiced) Invoice {
		amount := func(m money.Minor) Decimal { return Decimal(n.Currency.Text(m)) }
		return Invoice{string(n.Purchase), n.Number, n.InvoicedOn, amount(n.Amount), amount(n.Difference), amount(n.OnHand), amount(n.Used), n.Corrects, n.Person}
	})
}

// Invoice is a supplier's invoice as it was noted.
type Invoice struct {
	Purchase   string        `json:"purchase"`
	Number     string        `json:"number"`
	InvoicedOn calendar.Date `json:"invoiced_on"`
	Amount     Decimal       `json:"amount"`
	Difference Decimal       `json:"difference" doc:"What the invoices ask beyond the cost of what came, put on its wire; 0 where nothing was settled."`
	OnHand     Decimal       `json:"on_hand" doc:"Of the difference, on wire that is there."`
	Used       Decimal       `json:"used" doc:"Of the difference, of wire that is gone: an expense."`
	Corrects   string        `json:"corrects,omitempty"`
	Person     string        `json:"person"`
}

// Period is a closed month.
type Period struct {
	Month    string    `json:"month"`
	ClosedAt time.Time `json:"closed_at"`
	ClosedBy string    `json:"closed_by"`
	Hash     string    `json:"figures_hash" doc:"SHA-256 over the month's figures and movements."`
}

// PeriodBody gives a closed month as JSON.
func PeriodBody(p workshop.Period) Period {
	return Period{p.Month.String(), p.ClosedAt, p.ClosedBy, p.Hash}
}

// Months is the months of the books.
type Months struct {
	Months []Month `json:"months"`
}

// Month is a month of the books with its history.
type Month struct {
	Month   string    `json:"month"`
	Status  string    `json:"status" enum:"open,closed" doc:"A month before a closed one is closed with it."`
	Hash    string    `json:"figures_hash,omitempty"`
	History []Closing `json:"history"`
}

// Closing is one act in a month's history.
type Closing struct {
	Act    string    `json:"act" enum:"closed,reopened"`
	At     time.Time `json:"at"`
	Person string    `json:"person"`
	Reason string    `json:"reason,omitempty"`
	Hash   string    `json:"figures_hash"`
}

// MonthsBody gives the months of the books as JSON.
func MonthsBody(months []workshop.Month) Months {
	body := Months{Months: []Month{}}
	for _, m := range months {
		month := Month{Month: m.Month.String(), Status: "open", History: []Closing{}}
		if m.Closed != nil {
			month.Hash = m.Closed.Hash
		}
		if m.Closed != nil || m.Before {
			month.Status = "closed"
		}
		for _, c := range m.Closings {
			month.History = append(month.History, Closing{c.Act, c.At, c.Person, c.Reason, c.Hash})
		}
		body.Months = append(body.Months, month)
	}
	return body
}

// Methods is the choices of the books' methods.
type Methods struct {
	Methods []Method `json:"methods"`
}

// Method is a choice of the books.
type Method struct {
	Alloy  string    `json:"alloy,omitempty" doc:"Missing: every alloy that has no choice of its own."`
	Method string    `json:"method"`
	From   string    `json:"from"`
	Reason string    `json:"reason"`
	SetBy  string    `json:"set_by"`
	SetAt  time.Time `json:"set_at"`
}

// MethodsBody gives the choices as JSON.
func MethodsBody(methods []workshop.CostMethod) Methods {
	body := Methods{Methods: []Method{}}
	for _, m := range methods {
		body.Methods = append(body.Methods, Method{m.Family, string(m.Formula), m.From.String(), m.Reason, m.SetBy, m.SetAt})
	}
	return body
}

// Explained is a figure of the roll-forward with the movements it is made of.
type Explained struct {
	Month     string              `json:"month"`
	Wire      string              `json:"wire"`
	Column    string              `json:"column"`
	Mass      int64               `json:"mass_mg"`
	Cost      Amount              `json:"cost"`
	Movements []ExplainedMovement `json:"movements"`
}

// ExplainedMovement is a movement behind a figure.
type ExplainedMovement struct {
	ID       int64  `json:"id"`
	Date     string `json:"date" format:"date"`
	Kind     string `json:"kind"`
	Spool    string `json:"spool"`
	Lot      string `json:"lot"`
	Mass     int64  `json:"mass_mg"`
	Cost     Amount `json:"cost"`
	Source   string `json:"source"`
	Reason   string `json:"reason"`
	Person   string `json:"person" doc:"Who posted."`
	Reverses int64  `json:"reverses,omitempty"`
	Batch    string `json:"batch,omitempty"`
	Result   int    `json:"result,omitempty"`
	WoundBy  string `json:"wound_by,omitempty"`
}

// ExplainedBody gives a figure with its movements as JSON.
func ExplainedBody(e workshop.Explained) Explained {
	body := Explained{Month: e.Month.String(), Wire: string(e.Wire), Column: e.Column, Mass: int64(e.Total.Mass),
		Cost: amount(e.Currency, e.Total.Cost), Movements: []ExplainedMovement{}}
	for _, l := range e.Lines {
		body.Movements = append(body.Movements, ExplainedMovement{int64(l.ID), l.EffectiveOn.String(), string(l.Kind), string(l.Spool), l.Lot, int64(l.Mass),
			amount(e.Currency, l.Cost), l.Source, l.Reason, l.Person, int64(l.Reverses), string(l.Batch), l.Result, l.WoundBy})
	}
	return body
}
