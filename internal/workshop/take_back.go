package workshop

import (
	"context"
	"fmt"

	"windingroom/internal/batch"
	"windingroom/internal/order"
	"windingroom/internal/planning"
)

// TakeBack makes a released batch of which nothing is wound a proposed one again: the wire it held is free, its orders want the
// strings, and the day may be planned again round or without it. A batch that is proposed stays so; one that has results, undone
// ones too, or of which the bench has counted strings, is refused with ErrStage. Only a lead or an owner may.
func (s *Shop) TakeBack(ctx context.Context, code batch.Code, reason string) (DayPlan, error) {
	p, err := allow(ctx, "taking a batch back", Lead)
	if err != nil {
		return DayPlan{}, err
	}
	if reason, err = because(reason); err != nil {
		return DayPlan{}, err
	}
	var day DayPlan
	err = s.Store.InTx(ctx, func(tx Tx) error {
		b, err := tx.Batch(code)
		if err != nil {
			return err
		}
		if b.Status != batch.Proposed {
			if err := s.takeBack(tx, p, b, reason); err != nil {
				return err
			}
		}
		day, err = tx.Plan(b.Date)
		return err
	})
	return day, err
}

func (s *Shop) takeBack(tx Tx, p Person, b batch.Batch, reason string) error {
	results, err := tx.Results(b.Code)
	if err != nil {
		return err
	}
	marks, err := tx.Marks(b.Code)
	counted := batch.Tallied(marks[b.Code]).Strings()
	switch {
	case err != nil:
		return err
	case counted > 0:
		return fmt.Errorf("the bench has counted %d strings of batch %s: post them first, and the rest is open again: %w", counted, b.Code, ErrStage)
	case b.Status == batch.Finished:
		return fmt.Errorf("batch %s is finished and cannot be taken back: %w", b.Code, ErrStage)
	case len(results) > 0:
		return fmt.Errorf("batch %s has results and cannot be taken back: post what it gave, and the rest is open again: %w", b.Code, ErrStage)
	}
	for i := range b.Draws {
		if err := hold(tx, b, i, 0); err != nil {
			return err
		}
	}
	if err := tx.DropTally(b.Code); err != nil {
		return err
	}
	if err := tx.TakeBack(b.Code); err != nil {
		return err
	}
	for _, sv := range b.Serves {
		if err := unplan(tx, sv.Order); err != nil {
			return err
		}
	}
	one := planning.Plan{Machines: []planning.MachineDay{{Machine: b.Machine, Batches: []batch.Batch{b}}}}
	if err := s.handToBatches(tx, p, one); err != nil {
		return err
	}
	return tx.Record(s.audit(p, "take back batch", string(b.Code), reason))
}

// unplan makes an order that no batch winds or has wound for any more a confirmed one, also where finished stock gave it strings.
func unplan(tx Tx, code order.Code) error {
	o, err := tx.Order(code)
	if err != nil || o.Status != order.Planned {
		return err
	}
	if served, err := tx.Served(code); err != nil || served {
		return err
	}
	return tx.SetOrderStatus(code, order.Planned, order.Confirmed)
}
