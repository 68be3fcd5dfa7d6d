package workshop

import (
	"context"
	"fmt"
	"time"

	"windingroom/internal/stock"
)

// Reverse takes back a movement that should not have been posted: a weighing, a count, a return, a write-off or a receipt. The
// reversal takes effect now, in the open month; where the spool was weighed after the movement, it holds what was weighed. Draws are corrected with the result of their batch. Taking back twice is refused
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
		case stock.CostDifference, stock.CostUsed:
			return wrong("movement", "%d is a %s: note a credit or an invoice that corrects the one behind it", id, m.Kind)
		case stock.Reversal:
			return wrong("movement", "%d is a reversal itself: post anew what it took back", id)
		}
		back, err := s.takeBackMovement(tx, p, m, reason)
		if err != nil {
			return fmt.Errorf("movement %d: %w", id, err)
		}
		if err := tx.Record(s.audit(p, "reverse movement", string(m.Spool), fmt.Sprintf("movement %d by %d: %s", id, back.ID, reason))); err != nil {
			return err
		}
		out, err = posted(tx, back)
		return err
	})
	return out, err
}

// takeBackMovement posts the reversal of a movement and of what kept it. Where the spool was weighed after it, that weighing stands.
func (s *Shop) takeBackMovement(tx Tx, p Person, m stock.Movement, reason string) (back stock.Movement, err error) {
	h, err := historyOf(tx, m.Spool, time.Time{})
	if err != nil {
		return back, err
	}
	if keeps, ok := m.Keeps(); ok {
		return back, wrong("movement", "%d keeps what movement %d weighed: take that one back", m.ID, keeps)
	}
	gone := []stock.Movement{m}
	mass := m.Mass
	for _, other := range h {
		if id, ok := other.Keeps(); ok && id == m.ID {
			gone, mass = append(gone, other), mass+other.Mass
		}
	}
	b, err := tx.Spool(m.Spool)
	if err != nil {
		return back, err
	}
	if err := stands(h, m); err != nil {
		return back, err
	}
	if _, again := since(h, stock.Movement{Reverses: m.ID}); !again {
		if err := b.Check(-mass); err != nil {
			return back, err
		}
		if mass > b.Free() {
			return back, heldBy(tx, b, "corrected")
		}
	}
	at := s.after(h)
	backs := make([]stock.Movement, len(gone))
	for i, old := range gone {
		backs[i] = stock.Movement{
			Spool: b.Code, Kind: stock.Reversal, Mass: -old.Mass, Cost: b.CostBack(old), Reverses: old.ID, Source: m.KeepSource(),
			EffectiveOn: s.date(at), EffectiveAt: at, PostedAt: s.Now().UTC(), Person: p.Name, Reason: reason,
		}
		b.Mass, b.Value = b.Mass-old.Mass, b.Value+backs[i].Cost
	}
	backs[0].Source = fmt.Sprintf("movement %d", m.ID)
	if backs, err = s.postKept(tx, backs); err != nil {
		return back, err
	}
	return backs[0], s.settle(tx, p, b.Wire)
}

// stands refuses a movement that was taken back already.
func stands(h stock.History, m stock.Movement) error {
	for _, other := range h {
		if other.Reverses == m.ID {
			return fmt.Errorf("movement %d has taken it back: %w", other.ID, ErrExists)
		}
	}
	return nil
}
