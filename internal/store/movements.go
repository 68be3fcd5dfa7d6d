package store

import (
	"fmt"
	"maps"
	"slices"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

// Movements gives a spool's movements in the order they were posted.
func (r *reader) Movements(code stock.SpoolCode) ([]stock.Movement, error) {
	b, err := r.Spool(code)
	if err != nil {
		return nil, err
	}
	moves, err := list[stock.Movement](r, "SELECT * FROM movements WHERE spool = ? ORDER BY id", b.Code)
	for i := range moves {
		moves[i].PostedAt, moves[i].EffectiveAt = moves[i].PostedAt.UTC(), moves[i].EffectiveAt.UTC()
	}
	return moves, err
}

// MovementByKey gives the movement that was posted under an idempotency key.
func (r *reader) MovementByKey(key string) (stock.Movement, error) {
	m, err := one[stock.Movement](r, "SELECT * FROM movements WHERE key = ?", key)
	m.PostedAt, m.EffectiveAt = m.PostedAt.UTC(), m.EffectiveAt.UTC()
	return m, named("movement", key, err)
}

// Post appends movements, in their order, and moves the balances of their spools with them.
func (t *tx) Post(moves []stock.Movement) ([]stock.Movement, error) {
	if len(moves) == 0 {
		return nil, nil
	}
	posted := slices.Clone(moves)
	if err := t.refuseClosed(posted); err != nil {
		return nil, err
	}
	if err := t.moveBalances(posted); err != nil {
		return nil, err
	}
	if err := t.number(posted); err != nil {
		return nil, err
	}
	for i := range posted {
		posted[i].PostedAt, posted[i].EffectiveAt = instant(posted[i].PostedAt), instant(posted[i].EffectiveAt)
	}
	const columns = "id, spool, kind, mass, cost, effective_on, effective_at, posted_at, person, reason, source, key, reverses"
	err := insert(t, "movements", columns, posted, func(m stock.Movement) []any {
		return []any{int64(m.ID), m.Spool, m.Kind, m.Mass, m.Cost, day(m.EffectiveOn), m.EffectiveAt, m.PostedAt, m.Person, m.Reason, m.Source,
			orNull(m.Key), orNull(int64(m.Reverses))}
	})
	if err != nil {
		return nil, err
	}
	return posted, nil
}

// refuseClosed names the movement and the month up to which the books are closed; the trigger that guards it cannot.
func (t *tx) refuseClosed(moves []stock.Movement) error {
	last, err := one[string](&t.reader, "SELECT coalesce(max(month), '') FROM periods")
	if err != nil {
		return err
	}
	for _, m := range moves {
		switch {
		case m.EffectiveOn.IsZero():
			return fmt.Errorf("a movement of spool %s has no effective date: %w", m.Spool, ErrRule)
		case m.EffectiveOn.String()[:len("2026-03")] <= last:
			return fmt.Errorf("the %s of spool %s would take effect on %s, and the books are closed up to %s: post it with a day after that: %w",
				m.Kind, m.Spool, m.EffectiveOn, last, workshop.ErrClosed)
		}
	}
	return nil
}

// refuseClosedOn refuses what belongs to a day of a closed month and is no movement.
func (t *tx) refuseClosedOn(what string, on calendar.Date) error {
	last, err := one[string](&t.reader, "SELECT coalesce(max(month), '') FROM periods")
	if err == nil && on.String()[:len("2026-03")] <= last {
		err = fmt.Errorf("%s belongs to %s, and the books are closed up to %s: post it with a day after that: %w", what, on, last, workshop.ErrClosed)
	}
	return err
}

// moveBalances tries the movements one after the other on the balances of their spools, so that none leaves its bounds even
// for a moment, then writes each spool's new balance once. It gives the movements their spools' codes as they are kept.
func (t *tx) moveBalances(moves []stock.Movement) error {
	as, err := kept(t, "spools", moves, func(m stock.Movement) stock.SpoolCode { return m.Spool })
	if err != nil {
		return err
	}
	before, err := t.balancesOf(slices.Collect(maps.Values(as)))
	if err != nil {
		return err
	}
	after := maps.Clone(before)
	for i, m := range moves {
		b, ok := after[as[m.Spool]]
		if !ok {
			return named("spool", m.Spool, workshop.ErrNotFound)
		}
		if err := take(&b, m, i+1 < len(moves) && moves[i+1].Follows() && moves[i+1].Spool == m.Spool); err != nil {
			return err
		}
		moves[i].Spool = b.Code
		after[b.Code] = b
	}
	for _, code := range slices.Sorted(maps.Keys(after)) {
		change := after[code]
		was := before[code]
		if err := t.moveBalance(code, change.Mass-was.Mass, change.Value-was.Value, change.Late-was.Late); err != nil {
			return err
		}
	}
	return nil
}

func (t *tx) balancesOf(codes []stock.SpoolCode) (map[stock.SpoolCode]stock.Balance, error) {
	found := make(map[stock.SpoolCode]stock.Balance, len(codes))
	slices.Sort(codes)
	err := chunks(slices.Compact(codes), func(part []stock.SpoolCode) error {
		rows, err := t.balances(selectSpools+"WHERE s.code IN ?", part)
		for _, b := range rows {
			found[b.Code] = b
		}
		return err
	})
	return found, err
}

// take moves a balance by a movement, or says which bound forbids it. One that another follows at once is not looked at alone.
func take(b *stock.Balance, m stock.Movement, followed bool) error {
	if m.Kind == stock.Draw && b.State == stock.Quarantined {
		return fmt.Errorf("spool %s cannot be drawn on: %w", b.Code, stock.ErrWithheld)
	}
	if !followed {
		if err := b.Check(m.Mass); err != nil {
			return err
		}
		if b.Free()+m.Mass < 0 {
			return fmt.Errorf("spool %s has %s free and cannot give %s: %w", b.Code, b.Free(), -m.Mass, stock.ErrBelow)
		}
	}
	b.Mass += m.Mass
	b.Value += m.Cost
	if m.Kind == stock.CostDifference {
		b.Late += m.Cost
	}
	return nil
}

// moveBalance is guarded like Allocate, although the balance was looked at: the ledger does not rest on this code alone.
func (t *tx) moveBalance(code stock.SpoolCode, mass measure.Mass, value, late money.Minor) error {
	n, err := t.exec(`UPDATE spools SET mass = mass + ?, value = value + ?, late_cost = late_cost + ?
		WHERE code = ? AND mass + ? BETWEEN allocated AND gross - tare`, mass, value, late, code, mass)
	if err == nil && n != 1 {
		err = workshop.ErrChanged
	}
	return named("spool", code, err)
}

// number gives the movements the next numbers. Their spools are settled and no other writes, so the numbers of a spool's
// movements rise in the order in which they were posted.
func (t *tx) number(moves []stock.Movement) error {
	if t.dialect == postgresDialect {
		ids, err := list[int64](&t.reader, "SELECT nextval('movement_ids') FROM generate_series(1, ?)", len(moves))
		for i, id := range ids {
			moves[i].ID = stock.MovementID(id)
		}
		return err
	}
	last, err := one[int64](&t.reader, "SELECT coalesce(max(id), 0) FROM movements")
	for i := range moves {
		moves[i].ID = stock.MovementID(last + int64(i) + 1)
	}
	return err
}
