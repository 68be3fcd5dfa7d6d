package workshop

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// UndoResult takes back the last result of a batch that stands, by reversals that name the draws: the batch is released again
// and holds what it needs as far as that is free, what the bench had counted for it is counted again, and the orders lose the strings, those too that were given its surplus. number
// zero is the last; an earlier one is refused until those after it are undone. One whose strings are packed or shipped is refused.
// Undoing the same result again changes nothing. Winders, leads and owners may.
func (s *Shop) UndoResult(ctx context.Context, code batch.Code, number int, reason string) (ResultPosted, error) {
	p, err := allow(ctx, "undoing a result", Winder, Lead)
	if err != nil {
		return ResultPosted{}, err
	}
	if reason, err = because(reason); err != nil {
		return ResultPosted{}, err
	}
	var out ResultPosted
	err = s.Store.InTx(ctx, func(tx Tx) error {
		w := newPoster(s, tx, p)
		if out, err = w.undo(code, number, reason); err != nil {
			return err
		}
		return w.settle()
	})
	return out, err
}

func (w *poster) undo(code batch.Code, number int, reason string) (ResultPosted, error) {
	b, err := w.tx.Batch(code)
	if err != nil {
		return ResultPosted{}, err
	}
	results, err := w.tx.Results(b.Code)
	if err != nil {
		return ResultPosted{}, err
	}
	last, again, err := lastResult(b, results, number)
	if err != nil || again {
		return ResultPosted{Batch: b, Result: last, Unchanged: again}, err
	}
	if err := w.takeBack(last); err != nil {
		return ResultPosted{}, err
	}
	if err := w.reverse(last, reason); err != nil {
		return ResultPosted{}, err
	}
	if err := w.tx.UndoResult(b.Code, last.Number, w.person.Name, reason, w.shop.Now().UTC()); err != nil {
		return ResultPosted{}, err
	}
	if err := w.tx.GiveTallyBack(b.Code, last.Number); err != nil {
		return ResultPosted{}, err
	}
	if !last.Continues {
		if err := w.tx.SetBatchStatus(b.Code, batch.Finished, batch.Released); err != nil {
			return ResultPosted{}, err
		}
	}
	if err := w.restore(b); err != nil {
		return ResultPosted{}, err
	}
	if err := w.tx.Record(w.shop.audit(w.person, "undo result", string(b.Code), figures(last)+": "+reason)); err != nil {
		return ResultPosted{}, err
	}
	if results, err = w.tx.Results(b.Code); err != nil {
		return ResultPosted{}, err
	}
	return w.posted(results[last.Number-1])
}

// lastResult finds the result to undo; again says that it is undone already.
func lastResult(b batch.Batch, results []batch.Result, number int) (last batch.Result, again bool, err error) {
	for _, r := range slices.Backward(results) {
		if r.Stands() {
			last = r
			break
		}
	}
	switch {
	case number < 0 || number > len(results):
		return last, false, fmt.Errorf("result %d of batch %s: %w", number, b.Code, ErrNotFound)
	case number > 0 && !results[number-1].Stands():
		return results[number-1], true, nil
	case last.Number == 0:
		return last, false, fmt.Errorf("batch %s has no result to undo: %w", b.Code, ErrNotFound)
	case number > 0 && number != last.Number:
		return last, false, fmt.Errorf("result %d of batch %s has others after it: undo result %d first: %w", number, b.Code, last.Number, ErrStage)
	}
	return last, false, nil
}

// takeBack takes the good strings from their orders, which want them again.
func (w *poster) takeBack(r batch.Result) error {
	b, err := w.tx.Batch(r.Batch)
	if err != nil {
		return err
	}
	orders, err := w.orders(b)
	if err != nil {
		return err
	}
	for _, o := range orders {
		if !slices.ContainsFunc(r.Given, func(g batch.Serve) bool { return g.Order == o.Code }) {
			continue
		}
		if err := w.lose(o, r.Batch); err != nil {
			return err
		}
	}
	return w.takeBackGiven(r)
}

// lose opens an order that is wound and loses strings of a batch; one that is packed or shipped cannot.
func (w *poster) lose(o order.Order, of batch.Code) error {
	switch o.Status {
	case order.Packed, order.Shipped:
		return stage(o, fmt.Sprintf("has strings of batch %s: its result cannot be undone", of))
	case order.Wound:
		return w.tx.SetOrderStatus(o.Code, order.Wound, order.Planned)
	}
	return nil
}

// reverse puts the wire back on its spools, at the moment it was taken off or, where that month is closed, today. A spool that
// was weighed since holds what was weighed.
func (w *poster) reverse(r batch.Result, reason string) error {
	moves := make([]stock.Movement, len(r.Draws))
	balances := map[stock.SpoolCode]stock.Balance{}
	for i, d := range r.Draws {
		spool, known := balances[d.Spool]
		if !known {
			var err error
			if spool, err = w.tx.Spool(d.Spool); err != nil {
				return err
			}
		}
		drawn, err := w.tx.Movement(d.Movement)
		if err != nil {
			return err
		}
		cost := spool.CostBack(drawn)
		spool.Mass, spool.Value = spool.Mass+d.Mass, spool.Value+cost // a spool may be drawn on twice
		balances[d.Spool] = spool
		moves[i] = stock.Movement{
			Spool: d.Spool, Kind: stock.Reversal, Mass: d.Mass, Cost: cost, Reverses: d.Movement,
			EffectiveOn: r.WoundOn, EffectiveAt: drawn.EffectiveAt, PostedAt: w.shop.Now().UTC(), Person: w.person.Name,
			Reason: reason, Source: "batch " + string(r.Batch), Key: fmt.Sprintf("undo %s %d %d", r.Batch, r.Number, i+1),
		}
	}
	_, err := w.shop.postKept(w.tx, moves)
	if errors.Is(err, ErrClosed) {
		today := w.shop.Today()
		for i := range moves {
			moves[i].EffectiveOn, moves[i].EffectiveAt = today, w.shop.Now().UTC()
		}
		_, err = w.shop.postKept(w.tx, moves)
	}
	return err
}

// restore gives a batch that is released again what it needs, as far as its spools have it free, and tells its orders that it
// winds for them.
func (w *poster) restore(b batch.Batch) error {
	results, err := w.tx.Results(b.Code)
	if err != nil {
		return err
	}
	claims, err := claimsOf(w.tx, b, results)
	if err != nil {
		return err
	}
	for i, d := range b.Draws {
		spool, err := w.tx.Spool(d.Spool)
		if err != nil {
			return err
		}
		more := min(claims[i]-d.Allocated, max(spool.Free(), 0))
		if spool.State == stock.Quarantined {
			more = min(more, 0)
		}
		if err := hold(w.tx, b, i, d.Allocated+more); err != nil {
			return err
		}
	}
	orders, err := w.orders(b)
	if err != nil {
		return err
	}
	if err := w.makeBench(); err != nil {
		return err
	}
	for _, o := range orders {
		if !o.Open() {
			continue
		}
		wires, err := need(w.tx, w.bench, o)
		if err != nil {
			return err
		}
		for _, wire := range wires {
			w.touched[wire] = true
		}
	}
	for _, wire := range b.Wires() {
		w.touched[wire] = true
	}
	return nil
}
