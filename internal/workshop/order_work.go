package workshop

import (
	"context"
	"slices"
	"strings"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/order"
)

// OrderWork is what was done for an order, and what is under way.
type OrderWork struct {
	Released []batch.Batch  // that wind for it and are not finished, by date, machine, sequence
	Strings  []TracedString // its good strings with the wire they were wound from
	History  []AuditEntry   // who did what to it, the newest first; notes too
}

// mostOrderHistory bounds the entries of an order's history.
const mostOrderHistory = 200

// alsoOnOrders are acts whose name says no order.
var alsoOnOrders = []string{"give finished strings", "cut allocation"}

// noteOrder is the act of a note on an order.
const noteOrder = "note order"

// OrderWork tells what was done for an order; ErrNotFound when there is none. Everyone in the shop may see it.
func (s *Shop) OrderWork(ctx context.Context, code order.Code) (OrderWork, error) {
	if _, err := allow(ctx, "seeing orders", Roles()...); err != nil {
		return OrderWork{}, err
	}
	var w OrderWork
	err := s.Store.Read(ctx, func(r Reader) error {
		o, err := r.Order(code)
		if err != nil {
			return err
		}
		if w.Released, err = r.BatchesServing(o.Code); err != nil {
			return err
		}
		if w.Strings, err = r.TraceOf(o.Code); err != nil {
			return err
		}
		w.History, err = actsOn(r, o.Code)
		return err
	})
	return w, err
}

// actsOn gives what was done to an order. Codes of other things may be the same, so it goes by the act too.
func actsOn(r Reader, code order.Code) ([]AuditEntry, error) {
	entries, err := r.Audit(AuditFilter{Subject: string(code), Most: mostOrderHistory})
	return slices.DeleteFunc(entries, func(e AuditEntry) bool {
		return !slices.Contains(strings.Fields(e.Action), "order") && !slices.Contains(alsoOnOrders, e.Action)
	}), err
}

// NoteOrder puts a note on an order, such as what the customer said; the same one again straight after changes nothing. Notes stay.
// Everyone in the shop may.
func (s *Shop) NoteOrder(ctx context.Context, code order.Code, text string) error {
	p, err := allow(ctx, "noting something on an order", Roles()...)
	if err != nil {
		return err
	}
	text = strings.TrimSpace(text)
	switch {
	case text == "":
		return wrong("note", "is needed: what is to be known about the order")
	case len(text) > mostWords:
		return wrong("note", "is %d bytes long; at most %d", len(text), mostWords)
	}
	return s.Store.InTx(ctx, func(tx Tx) error {
		o, err := tx.Order(code)
		if err != nil {
			return err
		}
		last, err := actsOn(tx, o.Code)
		if err != nil {
			return err
		}
		if len(last) > 0 && last[0].Action == noteOrder && last[0].Person == p.Name && last[0].Detail == text {
			return nil
		}
		return tx.Record(s.audit(p, noteOrder, string(o.Code), text))
	})
}

// Note says whether an entry is a note rather than an act.
func (e AuditEntry) Note() bool { return e.Action == noteOrder }

// OrderChoices is what an order may name: standing sets and recipes, by code.
type OrderChoices struct {
	Next    order.Code // a code that is free, after the last one; empty where there is none to go on from
	Sets    []catalog.Set
	Recipes []catalog.Recipe
}

// OrderChoices gives what may be ordered. Everyone in the shop may see it.
func (s *Shop) OrderChoices(ctx context.Context) (c OrderChoices, err error) {
	if _, err := allow(ctx, "seeing sets and recipes", Roles()...); err != nil {
		return c, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		known, err := knownToOrders(r, "")
		if err != nil {
			return err
		}
		c.Sets, c.Recipes = known.Sets, known.Recipes
		codes, err := r.OrderCodes()
		c.Next = order.After(codes)
		return err
	})
	return c, err
}
