package workshop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"windingroom/internal/catalog"
	"windingroom/internal/intake"
	"windingroom/internal/order"
)

// AddOrder takes an order in, as a draft or confirmed at once. The same order again changes nothing; another one under a code
// that is taken is refused with ErrExists. The error is intake.Problems where fields are wrong. Only a lead or an owner may.
func (s *Shop) AddOrder(ctx context.Context, form intake.OrderForm, confirm bool) (OrderStory, error) {
	p, err := allow(ctx, "taking an order in", Lead)
	if err != nil {
		return OrderStory{}, err
	}
	story, err := s.orderAct(ctx, func(tx Tx) (order.Code, error) {
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
			if err := s.supply(tx, p, o); err != nil {
				return "", err
			}
		}
		return o.Code, tx.Record(s.audit(p, "add order", string(o.Code), orderDetail(o)))
	})
	return s.promised(ctx, p, story, err)
}

// ConfirmOrder confirms a draft: it gets what finished stock has of its strings, and wire for the others as far as that is free. One that is confirmed already stays so. Only a lead
// or an owner may.
func (s *Shop) ConfirmOrder(ctx context.Context, code order.Code) (OrderStory, error) {
	p, err := allow(ctx, "confirming an order", Lead)
	if err != nil {
		return OrderStory{}, err
	}
	story, err := s.orderAct(ctx, func(tx Tx) (order.Code, error) {
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
		if err := s.supply(tx, p, o); err != nil {
			return "", err
		}
		return o.Code, tx.Record(s.audit(p, "confirm order", string(o.Code), orderDetail(o)))
	})
	return s.promised(ctx, p, story, err)
}

// CancelOrder cancels an order that is not shipped: its wire is free again, and released batches hold no more than the other
// orders they serve want. What was wound for it, or given to it, is finished stock. One that is cancelled already stays so. Only a lead or an
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
		if err := tx.ReturnFinished(o.Code); err != nil {
			return "", err
		}
		return o.Code, tx.Record(s.audit(p, "cancel order", string(o.Code), strings.TrimSpace(reason)))
	})
}

// ChangeOrder puts another content into a draft, or a confirmed or planned order. Wire is allocated anew only where the change
// needs more or less of it. Strings in released batches, or wound, cannot be taken away. Only a lead or an owner may.
func (s *Shop) ChangeOrder(ctx context.Context, code order.Code, form intake.OrderForm) (OrderStory, error) {
	p, err := allow(ctx, "changing an order", Lead)
	if err != nil {
		return OrderStory{}, err
	}
	story, err := s.orderAct(ctx, func(tx Tx) (order.Code, error) {
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
		if err := tx.SetPromised(o.Code, 0); err != nil { // it was for another content
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
	return s.promised(ctx, p, story, err)
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
		if !ok || now.Recipe != was.Recipe || now.Scale != was.Scale || o.Quantity(c.Line) < min(c.Strings, here.Quantity(c.Line)) { // two batches may wind for one string
			return fmt.Errorf("order %s line %d position %d: %d strings of %s at %s in are in released batches or wound and cannot be taken away: %w",
				o.Code, c.Line, c.Position, c.Strings, was.Recipe, was.Scale.InchText(), ErrStage)
		}
	}
	return nil
}

// supply gives a newly confirmed order what finished stock has, as far as no other wants it earlier, and allocates wire for the rest.
func (s *Shop) supply(tx Tx, p Person, o order.Order) error {
	if err := s.giveFinished(tx, p, recipesOf(o)); err != nil {
		return err
	}
	o, err := tx.Order(o.Code)
	if err != nil || !o.Open() {
		return err
	}
	return s.promise(tx, p, o)
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
	return s.told(ctx, code)
}

// promised tells the earliest day for an order, and holds it to that where it is confirmed and has no promise yet. The order stands
// whether a day was found or not.
func (s *Shop) promised(ctx context.Context, p Person, story OrderStory, err error) (OrderStory, error) {
	if err != nil || !promisable(story.Order) {
		return story, err
	}
	if !story.Order.Open() || !story.Order.PromisedOn.IsZero() {
		if withoutDay(ctx) {
			return story, nil
		}
		return s.Order(ctx, story.Order.Code)
	}
	answer, err := s.hold(ctx, p, story.Order.Code)
	switch {
	case errors.Is(err, ErrChanged), errors.Is(err, ErrStage):
		return story, nil
	case err != nil:
		return story, err
	case !answer.Holds.IsZero():
		if story, err = s.told(ctx, story.Order.Code); err != nil {
			return story, err
		}
	}
	story.Promised = &answer
	return story, nil
}

func (s *Shop) told(ctx context.Context, code order.Code) (story OrderStory, err error) {
	err = s.Store.Read(ctx, func(r Reader) (err error) {
		story, err = s.storyOf(r, code)
		return err
	})
	return story, err
}

// readOrder reads an order with what the shop has.
func readOrder(r Reader, form intake.OrderForm) (order.Order, error) {
	known, err := knownToOrders(r, order.Code(form.Order))
	if err != nil {
		return order.Order{}, err
	}
	o, problems := intake.ReadOrder(form, known)
	return o, problems.Err()
}

// knownToOrders gives what an order may name: recipes and standing sets, and where the shop has the order already its sets as it has them,
// whatever became of them since.
func knownToOrders(r Reader, of order.Code) (known intake.Known, err error) {
	if known.Recipes, err = r.Recipes(); err != nil {
		return known, err
	}
	if known.Sets, err = r.Sets(); err != nil || of == "" {
		return known, err
	}
	here, err := r.Order(of)
	if errors.Is(err, ErrNotFound) {
		return known, nil
	}
	known.Sets = asOrdered(known.Sets, here)
	return known, err
}

// asOrdered gives sets with those of an order's lines as the order has them.
func asOrdered(sets []catalog.Set, o order.Order) []catalog.Set {
	for _, l := range o.Lines {
		if l.Set == "" {
			continue
		}
		set := catalog.Set{Code: l.Set}
		for _, s := range l.Strings {
			set.Positions = append(set.Positions, catalog.Position{Number: s.Position, Recipe: s.Recipe, Scale: s.Scale, Pitch: s.Pitch})
		}
		if i := slices.IndexFunc(sets, func(s catalog.Set) bool { return s.Code == l.Set }); i >= 0 {
			sets[i] = set
		} else {
			sets = append(sets, set)
		}
	}
	return sets
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
