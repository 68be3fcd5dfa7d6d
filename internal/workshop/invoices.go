package workshop

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/costing"
	"windingroom/internal/money"
	"windingroom/internal/purchase"
	"windingroom/internal/stock"
)

// NewInvoice is a supplier's invoice for a purchase, or a credit note below zero.
type NewInvoice struct {
	Purchase  purchase.Code
	Number    string        // the supplier's
	Amount    string        // in the shop's currency, freight included
	On        calendar.Date // its day
	Part      bool          // others are to come for what came: nothing is settled yet
	Corrects  string        // the number of the invoice that it corrects, or empty
	Confirmed bool          // a difference that is hard to believe is right
}

// Invoiced is what became of an invoice.
type Invoiced struct {
	PurchaseInvoice
	Currency   money.Currency
	Difference money.Minor // what invoices ask beyond the cost of what came; zero where nothing was settled
	OnHand     money.Minor // of Difference: on wire that is there
	Used       money.Minor // of Difference: of wire that is gone
}

// believed is by how much of what came an invoice may be off before someone is asked: most often another is to come (judgement).
const believed = 0.25

// InvoicePurchase notes a supplier's invoice for a purchase. Until then what came of the purchase is received and not invoiced. Unless it is a
// part, what the purchase's invoices ask beyond (or short of) the cost of what came lands on those spools, today: on wire that is there it is
// cost of purchase, of wire that is gone an expense. An invoice that was wrong is corrected by another one, such as a credit note, that
// names it. A difference of more than a quarter is refused until it is confirmed. The same number twice is refused with ErrExists. A lead may
// not: only a bookkeeper or an owner.
func (s *Shop) InvoicePurchase(ctx context.Context, in NewInvoice) (out Invoiced, err error) {
	p, err := allow(ctx, "noting an invoice", Bookkeeper)
	if err != nil {
		return out, err
	}
	if in.Number = strings.TrimSpace(in.Number); in.Number == "" || len(in.Number) > mostWords {
		return out, wrong("number", "is needed: the supplier's number of the invoice")
	}
	if in.On.IsZero() || in.On > s.Today() {
		return out, wrong("on", "must be the day of the invoice, up to today")
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		here, err := tx.Purchase(in.Purchase)
		if err != nil {
			return err
		}
		if here.Status == purchase.Proposed || here.Status == purchase.Cancelled {
			return notAt(here, "has no invoice")
		}
		if out, err = s.noteInvoice(tx, p, here, in); err != nil || in.Part {
			return err
		}
		return s.settleInvoices(tx, p, in, &out)
	})
	return out, err
}

func (s *Shop) noteInvoice(tx Tx, p Person, here purchase.Purchase, in NewInvoice) (out Invoiced, err error) {
	practice, err := tx.Practice()
	if err != nil {
		return out, err
	}
	minor, err := practice.Currency.Parse(in.Amount)
	if err != nil {
		return out, wrong("amount", "%v", err)
	}
	periods, err := tx.Periods()
	if err != nil {
		return out, err
	}
	if n := len(periods); n > 0 && in.On <= periods[n-1].Month.Last() {
		return out, fmt.Errorf("an invoice of %s belongs to a month up to %s: note it with the day it came: %w", in.On, periods[n-1].Month, ErrClosed)
	}
	if in.Corrects != "" {
		earlier, err := tx.PurchaseInvoices(here.Code)
		if err != nil {
			return out, err
		}
		if !slices.ContainsFunc(earlier, func(e PurchaseInvoice) bool { return e.Number == in.Corrects }) {
			return out, wrong("corrects", "purchase %s has no invoice %q", here.Code, in.Corrects)
		}
	}
	out.Currency = practice.Currency
	out.PurchaseInvoice = PurchaseInvoice{Purchase: here.Code, Number: in.Number, InvoicedOn: in.On, Amount: minor, Corrects: in.Corrects,
		PostedAt: s.Now().UTC(), Person: p.Name}
	if err := tx.AddPurchaseInvoice(out.PurchaseInvoice); err != nil {
		return out, err
	}
	return out, tx.Record(s.audit(p, "note invoice", string(here.Code), fmt.Sprintf("%s of %s: %s", in.Number, in.On, practice.Currency.Text(minor))))
}

// settleInvoices lands what the invoices of a purchase ask beyond the cost of what came.
func (s *Shop) settleInvoices(tx Tx, p Person, in NewInvoice, out *Invoiced) error {
	came, err := tx.CameFor(out.Purchase)
	if err != nil || len(came) == 0 {
		return err
	}
	invoices, err := tx.PurchaseInvoices(out.Purchase)
	if err != nil {
		return err
	}
	var asked, cost money.Minor
	for _, i := range invoices {
		asked += i.Amount
	}
	costs, spools := make([]money.Minor, len(came)), make([]stock.Balance, len(came))
	for i, c := range came {
		costs[i], cost = c.Cost, cost+c.Cost
		if spools[i], err = tx.Spool(c.Spool); err != nil {
			return err
		}
	}
	out.Difference = asked - cost
	if err := believable(in, out.Currency, asked, cost); err != nil {
		return err
	}
	landed := costing.Land(out.Difference, costs, spools)
	out.OnHand, out.Used = landed.OnHand, landed.Consumed
	return s.postLate(tx, p, in, out.PurchaseInvoice, spools, landed)
}

func believable(in NewInvoice, currency money.Currency, asked, cost money.Minor) error {
	difference := asked - cost
	switch {
	case asked < 0 && difference < 0:
		return wrong("amount", "credits more than was ever asked: the invoices of the purchase would come to %s", currency.Text(asked))
	case !in.Confirmed && float64(max(difference, -difference)) > believed*float64(cost):
		return wrong("amount", "the invoices of the purchase come to %s and what came cost %s: say part where others are to come, or confirm",
			currency.Text(asked), currency.Text(cost))
	}
	return nil
}

// postLate posts what each spool bears: the whole, and at once what of it belongs to wire that is gone.
func (s *Shop) postLate(tx Tx, p Person, in NewInvoice, invoice PurchaseInvoice, spools []stock.Balance, landed costing.Landed) error {
	reason := "asked beyond the receipt"
	if in.Corrects != "" {
		reason = "corrects invoice " + in.Corrects
	}
	var moves []stock.Movement
	for i, b := range spools {
		part := landed.Parts[i]
		if part == 0 {
			continue
		}
		h, err := historyOf(tx, b.Code, time.Time{})
		if err != nil {
			return err
		}
		at := s.after(h)
		m := stock.Movement{Spool: b.Code, Kind: stock.CostDifference, Cost: part, EffectiveOn: s.date(at), EffectiveAt: at, PostedAt: s.Now().UTC(), Person: p.Name,
			Reason: reason, Source: fmt.Sprintf("invoice %s of purchase %s", invoice.Number, invoice.Purchase)}
		used := m
		used.Kind, used.Cost, used.Reason = stock.CostUsed, landed.Held[i]-part, "of wire that is gone"
		moves = append(moves, m, used)
	}
	_, err := tx.Post(moves)
	return err
}
