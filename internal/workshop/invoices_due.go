package workshop

import (
	"context"

	"windingroom/internal/money"
)

// InvoicesDue is wire that came and was not invoiced yet, or not as it came.
type InvoicesDue struct {
	Currency  money.Currency
	Purchases []NotInvoiced
}

// Open gives what invoices are still to ask, those that ask too much set against it.
func (d InvoicesDue) Open() (sum money.Minor) {
	for _, p := range d.Purchases {
		sum += p.Received - p.Invoiced
	}
	return sum
}

// InvoicesDue lists the purchases whose wire and invoices do not meet, as of today. Only a bookkeeper or an owner may.
func (s *Shop) InvoicesDue(ctx context.Context) (due InvoicesDue, err error) {
	if _, err := allow(ctx, "reading invoices", Bookkeeper); err != nil {
		return due, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		practice, err := r.Practice()
		if err != nil {
			return err
		}
		due.Currency = practice.Currency
		due.Purchases, err = r.NotInvoiced(s.Today())
		return err
	})
	return due, err
}
