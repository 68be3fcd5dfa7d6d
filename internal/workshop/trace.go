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

// Orders adds the strings up by order. A string that holds two wires of the lot, or may come from either of two spools, counts
// once.
func (t LotTrace) Orders() []LotOrder {
	type place struct {
		batch            string
		result, line, at int
	}
	var list []LotOrder
	seen := map[place]int{} // strings counted so far, by where they come from
	for _, str := range t.Strings {
		if n := len(list); n == 0 || list[n-1].Order != str.Order {
			list = append(list, LotOrder{Order: str.Order, First: str})
			clear(seen)
		}
		o := &list[len(list)-1]
		at := place{string(str.Batch), str.Result, str.Line, str.Position}
		if more := str.AtMost() - seen[at]; more > 0 {
			o.Strings += more
			seen[at] += more
		}
		o.Mass += str.Mass()
	}
	return list
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
