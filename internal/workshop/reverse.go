package workshop

import (
	"context"
	"fmt"

	"windingroom/internal/stock"
)

// Reverse takes back a movement that should not have been posted: a weighing, a count, a return, a write-off or a receipt. The
// reversal takes effect now, in the open month. Draws are corrected with the result of their batch. Taking back twice is refused
// with ErrExists. Only a lead, a bookkeeper or an owner may.
func (s *Shop) Reverse(ctx context.Context, id stock.MovementID, reason string) (out Posted, err error) {
	p, err := allow(ctx, "reversing a movement", Lead, Bookkeeper)
	if err != nil {
		return out, err
	}
	if reason, err = because(reason); err != nil {
		return out, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		m, err := tx.Movement(id)
		if err != nil {
			return err
		}
		switch m.Kind {
		case stock.Draw, stock.Scrap:
			return wrong("movement", "%d is a %s: correct the result of its batch", id, m.Kind)
		case stock.Reversal:
			return wrong("movement", "%d is a reversal itself: post anew what it took back", id)
		}
		b, err := tx.Spool(m.Spool)
		if err != nil {
			return err
		}
		if err := stands(tx, m); err != nil {
			return err
		}
		if m.Mass > 0 && b.Check(-m.Mass) == nil && m.Mass > b.Free() {
			return heldBy(tx, b, "corrected")
		}
		back, err := s.post(tx, p, b, -m.Mass, stock.Movement{Kind: stock.Reversal, Reason: reason, Reverses: id,
			Source: fmt.Sprintf("movement %d", id)})
		if err != nil {
			return fmt.Errorf("movement %d: %w", id, err)
		}
		if err := tx.Record(s.audit(p, "reverse movement", string(b.Code), fmt.Sprintf("movement %d by %d: %s", id, back.ID, reason))); err != nil {
			return err
		}
		out, err = posted(tx, back)
		return err
	})
	return out, err
}

// stands refuses a movement that was taken back already.
func stands(r Reader, m stock.Movement) error {
	moves, err := r.Movements(m.Spool)
	if err != nil {
		return err
	}
	for _, other := range moves {
		if other.Reverses == m.ID {
			return fmt.Errorf("the reversal of movement %d by movement %d: %w", m.ID, other.ID, ErrExists)
		}
	}
	return nil
}
