package workshop

import (
	"context"
	"fmt"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/purchase"
)

// InvoicePurchase notes a supplier's invoice for a purchase, or a credit note below zero; amount is in the shop's currency, freight included.
// Until then what came of the purchase is received and not invoiced. The same number twice is refused with ErrExists. A lead may not: only
// a bookkeeper or an owner.
func (s *Shop) InvoicePurchase(ctx context.Context, code purchase.Code, number, amount string, on calendar.Date) (invoice PurchaseInvoice, err error) {
	p, err := allow(ctx, "noting an invoice", Bookkeeper)
	if err != nil {
		return invoice, err
	}
	if number = strings.TrimSpace(number); number == "" || len(number) > mostWords {
		return invoice, wrong("number", "is needed: the supplier's number of the invoice")
	}
	if on.IsZero() || on > s.Today() {
		return invoice, wrong("on", "must be the day of the invoice, up to today")
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		practice, err := tx.Practice()
		if err != nil {
			return err
		}
		minor, err := practice.Currency.Parse(amount)
		if err != nil {
			return wrong("amount", "%v", err)
		}
		here, err := tx.Purchase(code)
		if err != nil {
			return err
		}
		if here.Status == purchase.Proposed || here.Status == purchase.Cancelled {
			return notAt(here, "has no invoice")
		}
		periods, err := tx.Periods()
		if err != nil {
			return err
		}
		if n := len(periods); n > 0 && on <= periods[n-1].Month.Last() {
			return fmt.Errorf("an invoice of %s belongs to a month up to %s: note it with the day it came: %w", on, periods[n-1].Month, ErrClosed)
		}
		invoice = PurchaseInvoice{Purchase: here.Code, Number: number, InvoicedOn: on, Amount: minor, PostedAt: s.Now().UTC(), Person: p.Name}
		if err := tx.AddPurchaseInvoice(invoice); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "note invoice", string(here.Code), fmt.Sprintf("%s of %s: %s", number, on, practice.Currency.Text(minor))))
	})
	return invoice, err
}
