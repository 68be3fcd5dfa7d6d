package workshop

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
)

// Posted is a movement with what its spool holds now.
type Posted struct {
	Movement stock.Movement
	Spool    stock.Balance
	Currency money.Currency
}

// wrong says what is wrong with one field of a request.
func wrong(field, format string, args ...any) error {
	return intake.Problems{{Column: field, Text: fmt.Sprintf(format, args...)}}
}

// because reads a reason, which must be given.
func because(text string) (string, error) {
	text = strings.TrimSpace(text)
	switch {
	case text == "":
		return "", wrong("reason", "is needed: why, in a few words")
	case len(text) > mostWords:
		return "", wrong("reason", "is %d bytes long; at most %d", len(text), mostWords)
	}
	return text, nil
}

// movementKey gives the key under which an act of a person posts once; without a key of the person's own there is none.
func movementKey(act string, p Person, key string) string {
	if key == "" {
		return ""
	}
	return act + " " + ownKey(p, key)
}

// postedBefore finds the movement that an act posted under its key, if it did.
func postedBefore(r Reader, key string, code stock.SpoolCode) (m stock.Movement, found bool, err error) {
	if key == "" {
		return m, false, nil
	}
	m, err = r.MovementByKey(key)
	switch {
	case errors.Is(err, ErrNotFound):
		return m, false, nil
	case err != nil:
		return m, false, err
	case !strings.EqualFold(string(m.Spool), string(code)):
		return m, false, fmt.Errorf("this key has posted movement %d of spool %s: %w", m.ID, m.Spool, ErrExists)
	}
	return m, true, nil
}

// posted puts a movement together with its spool as it is now.
func posted(r Reader, m stock.Movement) (out Posted, err error) {
	out.Movement = m
	practice, err := r.Practice()
	if err != nil {
		return out, err
	}
	out.Currency = practice.Currency
	out.Spool, err = r.Spool(m.Spool)
	return out, err
}

// after gives the moment of something that happens to a spool now: not before anything that is already posted, such as the
// draws of a plan whose day is still to come.
func (s *Shop) after(h stock.History) time.Time {
	now := s.Now().UTC()
	if len(h) > 0 && h[len(h)-1].EffectiveAt.After(now) {
		return h[len(h)-1].EffectiveAt
	}
	return now
}

// date gives the shop's day of an instant.
func (s *Shop) date(at time.Time) calendar.Date { return calendar.Of(at.In(s.Zone)) }

// historyOf gives a spool's movements in the order in which they took effect.
func historyOf(r Reader, code stock.SpoolCode, until time.Time) (stock.History, error) {
	moves, err := r.Movements(code)
	if err != nil {
		return nil, err
	}
	return stock.HistoryOf(moves, until), nil
}

// heldBy refuses what would take allocated wire from a spool, naming the batches that hold it.
func heldBy(r Reader, b stock.Balance, act string) error {
	holders, err := r.Holders(b.Code)
	if err != nil {
		return err
	}
	names := make([]string, len(holders))
	for i, h := range holders {
		names[i] = fmt.Sprintf("%s holds %s", h.Batch, h.Mass)
	}
	return fmt.Errorf("spool %s cannot be %s: %s of it is free, and batch %s: %w", b.Code, act, b.Free(), strings.Join(names, ", batch "),
		stock.ErrBelow)
}

// TakeOff is wire that leaves the shop without being wound.
type TakeOff struct {
	Spool  stock.SpoolCode
	Mass   measure.Mass // zero for all that is there
	Reason string
	Key    string // idempotency key of the person's own, or empty
}

// ReturnToSupplier sends a spool, or a part of its wire, back. Only a lead, a bookkeeper or an owner may.
func (s *Shop) ReturnToSupplier(ctx context.Context, in TakeOff) (Posted, error) {
	return s.takeOff(ctx, in, stock.ReturnToSupplier, "returned")
}

// WriteOff takes wire off the books that is no good or not there. Only a lead, a bookkeeper or an owner may.
func (s *Shop) WriteOff(ctx context.Context, in TakeOff) (Posted, error) {
	return s.takeOff(ctx, in, stock.WriteOff, "written off")
}

func (s *Shop) takeOff(ctx context.Context, in TakeOff, kind stock.Kind, participle string) (out Posted, err error) {
	p, err := allow(ctx, string(kind), Lead, Bookkeeper)
	if err != nil {
		return out, err
	}
	reason, err := because(in.Reason)
	if err != nil {
		return out, err
	}
	if in.Mass < 0 {
		return out, wrong("mass_g", "%s must be more than 0", in.Mass.GramText())
	}
	if err := fits(in.Key); err != nil {
		return out, err
	}
	key := movementKey(string(kind), p, in.Key)
	err = s.Store.InTx(ctx, func(tx Tx) error {
		m, found, err := postedBefore(tx, key, in.Spool)
		switch {
		case found && in.Mass != 0 && m.Mass != -in.Mass:
			err = fmt.Errorf("this key has posted movement %d of %s: %w", m.ID, -m.Mass, ErrExists)
		case !found && err == nil:
			m, err = s.postTakeOff(tx, p, in, stock.Movement{Kind: kind, Reason: reason, Key: key}, participle)
		}
		if err != nil {
			return err
		}
		out, err = posted(tx, m)
		return err
	})
	return out, err
}

// postTakeOff posts a movement of which mass, cost and time are still to be filled in.
func (s *Shop) postTakeOff(tx Tx, p Person, in TakeOff, m stock.Movement, participle string) (stock.Movement, error) {
	b, err := tx.Spool(in.Spool)
	if err != nil {
		return m, err
	}
	mass := in.Mass
	if mass == 0 {
		mass = b.Mass
	}
	switch {
	case b.Mass == 0:
		return m, fmt.Errorf("spool %s is empty and cannot be %s: %w", b.Code, participle, stock.ErrNegative)
	case b.Check(-mass) != nil:
		return m, b.Check(-mass)
	case mass > b.Free():
		return m, heldBy(tx, b, participle)
	}
	if m, err = s.post(tx, p, b, -mass, m); err != nil {
		return m, err
	}
	return m, tx.Record(s.audit(p, string(m.Kind), string(b.Code), fmt.Sprintf("%s, movement %d: %s", mass, m.ID, m.Reason)))
}

// post posts a change of a spool's mass, that happens now unless the movement says when, and keeps the promises of its wire to orders.
func (s *Shop) post(tx Tx, p Person, b stock.Balance, change measure.Mass, m stock.Movement) (stock.Movement, error) {
	if m.EffectiveAt.IsZero() {
		h, err := historyOf(tx, b.Code, time.Time{})
		if err != nil {
			return m, err
		}
		m.EffectiveAt = s.after(h)
	}
	m.Spool, m.Mass, m.Cost = b.Code, change, b.CostOf(change)
	m.EffectiveOn, m.PostedAt, m.Person = s.date(m.EffectiveAt), s.Now().UTC(), p.Name
	done, err := s.postKept(tx, []stock.Movement{m})
	if err != nil {
		return m, err
	}
	return done[0], s.settle(tx, p, b.Wire)
}
