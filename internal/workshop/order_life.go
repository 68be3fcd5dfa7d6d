package workshop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"windingroom/internal/batch"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/requirements"
)

// AddOrder takes an order in, as a draft or confirmed at once. The same order again changes nothing; another one under a code
// that is taken is refused with ErrExists. The error is intake.Problems where fields are wrong. Only a lead or an owner may.
func (s *Shop) AddOrder(ctx context.Context, form intake.OrderForm, confirm bool) (OrderStory, error) {
	p, err := allow(ctx, "taking an order in", Lead)
	if err != nil {
		return OrderStory{}, err
	}
	return s.orderAct(ctx, func(tx Tx) (order.Code, error) {
		o, err := readOrder(tx, form)
		if err != nil {
			return "", err
		}
		here, err := tx.Order(o.Code)
		switch {
		case err == nil && sameOrder(here, o):
			return here.Code, nil
		case err == nil:
			return "", fmt.Errorf("order %s: %w", here.Code, ErrExists)
		case !errors.Is(err, ErrNotFound):
			return "", err
		}
		o.Status = order.Draft
		if confirm {
			o.Status = order.Confirmed
		}
		if err := tx.AddOrders([]order.Order{o}); err != nil {
			return "", err
		}
		if confirm {
			if err := s.promise(tx, p, o); err != nil {
				return "", err
			}
		}
		return o.Code, tx.Record(s.audit(p, "add order", string(o.Code), orderDetail(o)))
	})
}

// ConfirmOrder confirms a draft: its wire is allocated as far as it is free. One that is confirmed already stays so. Only a lead
// or an owner may.
func (s *Shop) ConfirmOrder(ctx context.Context, code order.Code) (OrderStory, error) {
	p, err := allow(ctx, "confirming an order", Lead)
	if err != nil {
		return OrderStory{}, err
	}
	return s.orderAct(ctx, func(tx Tx) (order.Code, error) {
		o, err := tx.Order(code)
		if err != nil {
			return "", err
		}
		switch o.Status {
		case order.Draft:
		case order.Cancelled:
			return "", stage(o, "cannot be confirmed")
		default:
			return o.Code, nil
		}
		if err := tx.SetOrderStatus(o.Code, order.Draft, order.Confirmed); err != nil {
			return "", err
		}
		o.Status = order.Confirmed
		if err := s.promise(tx, p, o); err != nil {
			return "", err
		}
		return o.Code, tx.Record(s.audit(p, "confirm order", string(o.Code), orderDetail(o)))
	})
}

// CancelOrder cancels an order that is not shipped: its wire is free again, and released batches hold no more than the other
// orders they serve want. What was wound for it is finished stock. One that is cancelled already stays so. Only a lead or an
// owner may.
func (s *Shop) CancelOrder(ctx context.Context, code order.Code, reason string) (OrderStory, error) {
	p, err := allow(ctx, "cancelling an order", Lead)
	if err != nil {
		return OrderStory{}, err
	}
	return s.orderAct(ctx, func(tx Tx) (order.Code, error) {
		o, err := tx.Order(code)
		if err != nil || o.Status == order.Cancelled {
			return o.Code, err
		}
		if o.Status == order.Shipped {
			return "", stage(o, "cannot be cancelled")
		}
		if err := s.close(tx, p, o, order.Cancelled); err != nil {
			return "", err
		}
		return o.Code, tx.Record(s.audit(p, "cancel order", string(o.Code), strings.TrimSpace(reason)))
	})
}

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

// ChangeOrder puts another content into a draft, or a confirmed or planned order. Wire is allocated anew only where the change
// needs more or less of it. Strings in released batches, or wound, cannot be taken away. Only a lead or an owner may.
func (s *Shop) ChangeOrder(ctx context.Context, code order.Code, form intake.OrderForm) (OrderStory, error) {
	p, err := allow(ctx, "changing an order", Lead)
	if err != nil {
		return OrderStory{}, err
	}
	return s.orderAct(ctx, func(tx Tx) (order.Code, error) {
		here, err := tx.Order(code)
		if err != nil {
			return "", err
		}
		if form.Order == "" {
			form.Order = string(here.Code)
		}
		o, err := readOrder(tx, form)
		switch {
		case err != nil:
			return "", err
		case !strings.EqualFold(string(o.Code), string(here.Code)):
			return "", wrong("order", "is %s where the address says %s; an order keeps its code", o.Code, here.Code)
		case here.Status != order.Draft && !here.Open():
			return "", stage(here, "cannot be changed")
		}
		o.Code, o.Status = here.Code, here.Status
		if sameOrder(here, o) {
			return here.Code, nil
		}
		if err := keepsCovered(tx, here, o); err != nil {
			return "", err
		}
		if err := tx.SaveOrder(o); err != nil {
			return "", err
		}
		if err := tx.Record(s.audit(p, "change order", string(o.Code), orderDetail(o))); err != nil {
			return "", err
		}
		if !o.Open() {
			return o.Code, nil
		}
		return o.Code, s.afterChange(tx, p, o)
	})
}

// afterChange allocates what a changed order needs; where less is wanted now it may be whole.
func (s *Shop) afterChange(tx Tx, p Person, o order.Order) error {
	whole, wires, err := s.finishWhole(tx, p, o)
	if err != nil {
		return err
	}
	if whole {
		return s.settle(tx, p, wires...)
	}
	return s.promise(tx, p, o)
}

// keepsCovered refuses a change that takes away strings which batches wind or have wound.
func keepsCovered(r Reader, here, o order.Order) error {
	covered, err := r.CoveredOf(here.Code)
	if err != nil {
		return err
	}
	for _, c := range covered {
		was, _ := here.String(c.Line, c.Position)
		now, ok := o.String(c.Line, c.Position)
		quantity := 0
		for _, l := range o.Lines {
			if l.Number == c.Line {
				quantity = l.Quantity
			}
		}
		if !ok || now.Recipe != was.Recipe || now.Scale != was.Scale || quantity < c.Strings {
			return fmt.Errorf("order %s line %d position %d: %d strings of %s at %s in are in released batches or wound and cannot be taken away: %w",
				o.Code, c.Line, c.Position, c.Strings, was.Recipe, was.Scale.InchText(), ErrStage)
		}
	}
	return nil
}

// promise allocates what an open order needs, as far as it is free.
func (s *Shop) promise(tx Tx, p Person, o order.Order) error {
	bench, err := benchOf(tx, recipesOf(o)...)
	if err != nil {
		return err
	}
	wires, err := need(tx, bench, o)
	if err != nil {
		return err
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

// shrink frees what a released batch holds beyond what it still has to wind.
func shrink(tx Tx, b batch.Batch) error {
	results, err := tx.Results(b.Code)
	if err != nil {
		return err
	}
	claims, err := claimsOf(tx, b, results)
	if err != nil {
		return err
	}
	for i, d := range b.Draws {
		if claims[i] < d.Allocated {
			if err := hold(tx, b, i, claims[i]); err != nil {
				return err
			}
		}
	}
	return nil
}

// claimsOf gives what each draw of a batch still needs, when it winds for the orders alone that still want strings.
func claimsOf(r Reader, b batch.Batch, results []batch.Result) ([]measure.Mass, error) {
	bench, err := benchOf(r, b.Recipe)
	if err != nil {
		return nil, err
	}
	each, err := eachOf(bench, b, results)
	if err != nil {
		return nil, err
	}
	n, err := toWind(r, bench, b)
	if err != nil {
		return nil, err
	}
	return b.Claims(n, each, results), nil
}

// toWind gives how many strings a batch winds in all: as planned, or, where orders it serves want no more, as many as the others
// ask for.
func toWind(r Reader, bench *requirements.Bench, b batch.Batch) (int, error) {
	wanted := 0
	for _, sv := range b.Serves {
		o, err := r.Order(sv.Order)
		if err != nil {
			return 0, err
		}
		if o.Open() {
			wanted += sv.Strings
		}
	}
	switch {
	case wanted == b.Ordered:
		return b.ToWind, nil
	case wanted == 0:
		return 0, nil
	}
	recipe, err := bench.Recipe(b.Recipe)
	if err != nil {
		return 0, err
	}
	practice, err := r.Practice()
	if err != nil {
		return 0, err
	}
	n, err := planning.Overage(wanted, recipe.Yield, practice.CompletionConfidence)
	return min(n, b.ToWind), err
}

// hold sets what a draw of a batch, counted from 0, holds of its spool.
func hold(tx Tx, b batch.Batch, draw int, mass measure.Mass) error {
	d := b.Draws[draw]
	if mass == d.Allocated {
		return nil
	}
	if err := tx.Allocate(d.Spool, mass-d.Allocated); err != nil {
		return err
	}
	return tx.SetDrawAllocated(b.Code, draw+1, mass)
}

// orderAct runs one act on an order in one transaction, and then tells the order's story: it takes longer than the act and
// keeps nobody from writing.
func (s *Shop) orderAct(ctx context.Context, act func(Tx) (order.Code, error)) (story OrderStory, err error) {
	var code order.Code
	err = s.Store.InTx(ctx, func(tx Tx) (err error) {
		code, err = act(tx)
		return err
	})
	if err != nil {
		return OrderStory{}, err
	}
	err = s.Store.Read(ctx, func(r Reader) (err error) {
		story, err = s.storyOf(r, code)
		return err
	})
	return story, err
}

// readOrder reads an order with what the shop has.
func readOrder(r Reader, form intake.OrderForm) (order.Order, error) {
	recipes, err := r.Recipes()
	if err != nil {
		return order.Order{}, err
	}
	sets, err := r.Sets()
	if err != nil {
		return order.Order{}, err
	}
	o, problems := intake.ReadOrder(form, intake.Known{Recipes: recipes, Sets: sets})
	return o, problems.Err()
}

// sameOrder compares what two orders ask for. A standing set may have changed since it was ordered, and the order keeps what was
// ordered.
func sameOrder(a, b order.Order) bool {
	return a.OrderedOn == b.OrderedOn && a.DueOn == b.DueOn && a.Customer == b.Customer &&
		slices.EqualFunc(a.Lines, b.Lines, func(x, y order.Line) bool {
			return x.Number == y.Number && x.Set == y.Set && x.Quantity == y.Quantity && (x.Set != "" || slices.Equal(x.Strings, y.Strings))
		})
}

func stage(o order.Order, what string) error {
	return fmt.Errorf("order %s is %s and %s: %w", o.Code, o.Status, what, ErrStage)
}

func orderDetail(o order.Order) string {
	return fmt.Sprintf("%s for %s, due %s, %d strings", o.Status, o.Customer, o.DueOn, o.StringCount())
}
