package workshop

import (
	"context"
	"fmt"
	"strings"

	"windingroom/internal/material"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
)

// PackOrder packs an order whose strings all exist, or, for a reason, one that lacks some: it then wants no more. Only a lead, a
// winder or an owner may.
func (s *Shop) PackOrder(ctx context.Context, code order.Code, reason string) (OrderStory, error) {
	return s.handOver(ctx, code, reason, order.Packed, "packed", "pack order")
}

// ShipOrder ships an order whose strings all exist, or, for a reason, one that lacks some: it then wants no more. Only a lead, a
// winder or an owner may.
func (s *Shop) ShipOrder(ctx context.Context, code order.Code, reason string) (OrderStory, error) {
	return s.handOver(ctx, code, reason, order.Shipped, "shipped", "ship order")
}

func (s *Shop) handOver(ctx context.Context, code order.Code, reason string, to order.Status, participle, act string) (OrderStory, error) {
	p, err := allow(ctx, act, Lead, Winder)
	if err != nil {
		return OrderStory{}, err
	}
	reason = strings.TrimSpace(reason)
	return s.orderAct(ctx, func(tx Tx) (order.Code, error) {
		o, err := tx.Order(code)
		if err != nil {
			return "", err
		}
		switch {
		case o.Status == to || o.Status == order.Shipped && to == order.Packed:
			return o.Code, nil
		case o.Status == order.Draft || o.Status == order.Cancelled:
			return "", stage(o, "cannot be "+participle)
		case o.Open():
			if err := mayGoShort(tx, o, reason, participle); err != nil {
				return "", err
			}
			if err := tx.SetShort(o.Code, reason); err != nil {
				return "", err
			}
		}
		if err := s.close(tx, p, o, to); err != nil {
			return "", err
		}
		return o.Code, tx.Record(s.audit(p, act, string(o.Code), reason))
	})
}

// mayGoShort says whether an order that lacks strings may leave: for a reason, and with at least one string.
func mayGoShort(r Reader, o order.Order, reason, participle string) error {
	good, err := r.GoodStrings(o.Code)
	if err != nil {
		return err
	}
	n := 0
	for _, g := range good {
		n += g.Strings
	}
	switch {
	case n == 0:
		return fmt.Errorf("order %s cannot be %s: none of its %d strings is wound: %w", o.Code, participle, o.StringCount(), ErrStage)
	case reason == "":
		return fmt.Errorf("order %s cannot be %s whole: %d of its %d strings are wound; to send it short give a reason: %w",
			o.Code, participle, n, o.StringCount(), ErrStage)
	}
	return nil
}

// close moves an order to where it wants no more strings, and frees what was promised for them.
func (s *Shop) close(tx Tx, p Person, o order.Order, to order.Status) error {
	serving, err := tx.BatchesServing(o.Code)
	if err != nil {
		return err
	}
	if err := tx.SetOrderStatus(o.Code, o.Status, to); err != nil {
		return err
	}
	wires, err := free(tx, o.Code)
	if err != nil || !o.Open() {
		return err
	}
	for _, b := range serving {
		if err := shrink(tx, b); err != nil {
			return err
		}
		wires = append(wires, b.Wires()...)
	}
	return s.settle(tx, p, wires...)
}

// finishWhole marks an open order wound when all its strings exist, and gives the wires it held.
func (s *Shop) finishWhole(tx Tx, p Person, o order.Order) (whole bool, wires []material.WireCode, err error) {
	if !o.Open() {
		return false, nil, nil
	}
	good, err := tx.GoodStrings(o.Code)
	if err != nil {
		return false, nil, err
	}
	if len(requirements.Open([]order.Order{o}, good)) > 0 {
		return false, nil, nil
	}
	serving, err := tx.BatchesServing(o.Code)
	if err != nil {
		return false, nil, err
	}
	if err := tx.SetOrderStatus(o.Code, o.Status, order.Wound); err != nil {
		return false, nil, err
	}
	if wires, err = free(tx, o.Code); err != nil {
		return false, nil, err
	}
	for _, b := range serving {
		if err := shrink(tx, b); err != nil {
			return false, nil, err
		}
		wires = append(wires, b.Wires()...)
	}
	return true, wires, tx.Record(s.audit(p, "order wound", string(o.Code), fmt.Sprintf("%d strings", o.StringCount())))
}
