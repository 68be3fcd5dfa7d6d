package workshop

import (
	"context"
	"fmt"

	"windingroom/internal/measure"
	"windingroom/internal/order"
)

// OrderTrace is an order with what every one of its good strings was wound from.
type OrderTrace struct {
	Order   order.Order
	Strings []TracedString // by line, position, batch, result, wire, spool
}

// TraceOrder follows an order from its strings to batches, spools, lots and suppliers. Everyone in the shop may.
func (s *Shop) TraceOrder(ctx context.Context, code order.Code) (OrderTrace, error) {
	if _, err := allow(ctx, "tracing", Roles()...); err != nil {
		return OrderTrace{}, err
	}
	var t OrderTrace
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		if t.Order, err = r.Order(code); err != nil {
			return err
		}
		t.Strings, err = r.TraceOf(t.Order.Code)
		return err
	})
	return t, err
}

// LotTrace is a lot with everything that was wound from it.
type LotTrace struct {
	Shop    string
	Lot     string
	Spools  []TracedSpool  // by code
	Batches []TracedBatch  // by date and code
	Strings []TracedString // by order, finished stock first
}

// LotOrder is what an order has of a lot.
type LotOrder struct {
	Order   order.Code // empty: finished stock
	First   TracedString
	Strings int          // that may hold wire of the lot
	Mass    measure.Mass // of the lot in them, at most
}

// Orders adds the strings up by order. Where a wire came from two spools of the lot, a string may be from either; one that holds
// two wires of the lot counts once.
func (t LotTrace) Orders() []LotOrder {
	var list []LotOrder
	for rest := t.Strings; len(rest) > 0; {
		n := 1
		for n < len(rest) && rest[n].samePlace(rest[0]) {
			n++
		}
		if last := len(list) - 1; last < 0 || list[last].Order != rest[0].Order {
			list = append(list, LotOrder{Order: rest[0].Order, First: rest[0]})
		}
		strings, mass := atMost(rest[:n])
		o := &list[len(list)-1]
		o.Strings, o.Mass = o.Strings+strings, o.Mass+mass
		rest = rest[n:]
	}
	return list
}

// samePlace says whether two rows are of the same strings.
func (t TracedString) samePlace(o TracedString) bool {
	return t.Order == o.Order && t.Line == o.Line && t.Position == o.Position && t.Batch == o.Batch && t.Result == o.Result
}

// atMost gives how many of the same strings can hold wire of these spools, and how much; rows are by wire.
func atMost(rows []TracedString) (strings int, mass measure.Mass) {
	for len(rows) > 0 {
		took, n := 0, 0
		for n < len(rows) && rows[n].Wire == rows[0].Wire {
			took += rows[n].SpoolTook
			n++
		}
		can := min(rows[0].Strings, took)
		strings = max(strings, can)
		mass += rows[0].Each.Times(int64(can))
		rows = rows[n:]
	}
	return strings, mass
}

// TraceLot follows a lot to its spools, the batches that drew on them and every order that has strings of them; ErrNotFound when
// no spool is of that lot. Everyone in the shop may.
func (s *Shop) TraceLot(ctx context.Context, lot string) (LotTrace, error) {
	if _, err := allow(ctx, "tracing", Roles()...); err != nil {
		return LotTrace{}, err
	}
	t := LotTrace{Shop: s.Name, Lot: lot}
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		if t.Spools, t.Batches, t.Strings, err = r.TraceOfLot(lot); err != nil {
			return err
		}
		if len(t.Spools) == 0 {
			return fmt.Errorf("lot %s: %w", lot, ErrNotFound)
		}
		t.Lot = t.Spools[0].Lot
		return nil
	})
	return t, err
}
