package workshop

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"windingroom/internal/material"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// Scanned is what a code names that was scanned or typed; one of the fields is set.
type Scanned struct {
	Spool    stock.SpoolCode
	Wire     material.WireCode
	Lot      string
	Delivery string
	Order    order.Code
}

// Find gives what a code names: a spool, a wire, a supplier's lot, a delivery or an order, in this order; ErrNotFound where it names
// none. Everyone in the shop may.
func (s *Shop) Find(ctx context.Context, code string) (found Scanned, err error) {
	if _, err := allow(ctx, "seeing the stock", Roles()...); err != nil {
		return found, err
	}
	code = strings.TrimSpace(code)
	if code == "" {
		return found, wrong("code", "is needed: scan a label, or type the code of a spool, a wire or a lot")
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		for _, look := range []func() error{
			func() error { b, err := r.Spool(stock.SpoolCode(code)); found.Spool = b.Code; return err },
			func() error { w, err := wireOf(r, material.WireCode(code)); found.Wire = w.Code; return err },
			func() (err error) { found.Lot, err = lotNamed(r, code); return err },
			func() error { _, err := r.DeliverySpools(code); found.Delivery = code; return err },
			func() error { o, err := r.Order(order.Code(code)); found.Order = o.Code; return err },
		} {
			found = Scanned{}
			if err := look(); !errors.Is(err, ErrNotFound) {
				return err
			}
		}
		return fmt.Errorf("no spool, wire, lot, delivery or order is called %q: %w", code, ErrNotFound)
	})
	return found, err
}

func lotNamed(r Reader, lot string) (string, error) {
	spools, _, _, err := r.TraceOfLot(lot)
	if err != nil {
		return "", err
	}
	if len(spools) == 0 {
		return "", fmt.Errorf("lot %s: %w", lot, ErrNotFound)
	}
	return spools[0].Lot, nil
}
