package store

import (
	"windingroom/internal/calendar"
	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

const selectLedger = `SELECT m.id, m.spool, m.kind, m.mass, m.cost, m.effective_on, m.effective_at, m.posted_at, m.person, m.reason, m.source,
		coalesce(m.key, ''), coalesce(m.reverses, 0), s.wire, s.lot, coalesce(o.kind, '')
	FROM movements m JOIN spools s ON s.code = m.spool LEFT JOIN movements o ON o.id = m.reverses `

const asTheyTook = " ORDER BY m.effective_on, m.effective_at, m.id"

// Ledger hands the movements of some days to do, row by row as the database gives them.
func (r *reader) Ledger(first, last calendar.Date, do func(workshop.LedgerLine) error) error {
	return r.ledger(do, selectLedger+"WHERE m.effective_on BETWEEN ? AND ?"+asTheyTook, from(first), day(last))
}

// LedgerOf hands those of one wire.
func (r *reader) LedgerOf(wire material.WireCode, first, last calendar.Date, do func(workshop.LedgerLine) error) error {
	return r.ledger(do, selectLedger+"WHERE lower(s.wire) = lower(?) AND m.effective_on BETWEEN ? AND ?"+asTheyTook, wire, from(first), day(last))
}

// LedgerMark counts them in the index.
func (r *reader) LedgerMark(first, last calendar.Date) (workshop.LedgerMark, error) {
	return one[workshop.LedgerMark](r, "SELECT count(*) AS count, coalesce(max(id), 0) AS highest FROM movements WHERE effective_on BETWEEN ? AND ?", from(first), day(last))
}

// from gives a first day for a statement; no day is before all others.
func from(d calendar.Date) string {
	if d.IsZero() {
		return "0000-00-00"
	}
	return d.String()
}

func (r *reader) ledger(do func(workshop.LedgerLine) error, query string, args ...any) error {
	rows, err := r.db.Raw(query, args...).Rows()
	if err != nil {
		return translate(err)
	}
	defer rows.Close()
	var l workshop.LedgerLine
	for rows.Next() {
		m := &l.Movement
		err := rows.Scan(&m.ID, &m.Spool, &m.Kind, &m.Mass, &m.Cost, &m.EffectiveOn, &m.EffectiveAt, &m.PostedAt, &m.Person, &m.Reason, &m.Source,
			&m.Key, &m.Reverses, &l.Wire, &l.Lot, &l.Reversed)
		if err != nil {
			return translate(err)
		}
		m.EffectiveAt, m.PostedAt = m.EffectiveAt.UTC(), m.PostedAt.UTC()
		if err := do(l); err != nil {
			return err
		}
	}
	return translate(rows.Err())
}

// Reversed gives the movements that were taken back.
func (r *reader) Reversed() (map[stock.MovementID]bool, error) {
	ids, err := list[stock.MovementID](r, "SELECT reverses FROM movements WHERE reverses IS NOT NULL")
	taken := make(map[stock.MovementID]bool, len(ids))
	for _, id := range ids {
		taken[id] = true
	}
	return taken, err
}

// MonthsMoved gives the months that have movements. Each is found by its first movement, not by reading them all.
func (r *reader) MonthsMoved() ([]costing.Period, error) {
	months, after := []costing.Period(nil), "0000-00-00"
	for {
		next, err := one[string](r, "SELECT coalesce(min(effective_on), '') FROM movements WHERE effective_on > ?", after)
		if err != nil || next == "" {
			return months, err
		}
		d, err := calendar.ParseDate(next)
		if err != nil {
			return nil, err
		}
		m := costing.PeriodOf(d)
		months, after = append(months, m), m.Last().String()
	}
}

// LastDraws gives the day on which each wire was last drawn on and the draw was not taken back.
func (r *reader) LastDraws(until calendar.Date) (map[material.WireCode]calendar.Date, error) {
	type row struct {
		Wire material.WireCode
		On   calendar.Date
	}
	rows, err := list[row](r, `SELECT s.wire AS wire, max(m.effective_on) AS "on" FROM movements m JOIN spools s ON s.code = m.spool
		WHERE m.kind = ? AND m.effective_on <= ? AND NOT EXISTS (SELECT 1 FROM movements b WHERE b.reverses = m.id AND b.effective_on <= ?)
		GROUP BY s.wire`, stock.Draw, day(until), day(until))
	last := make(map[material.WireCode]calendar.Date, len(rows))
	for _, f := range rows {
		last[f.Wire] = f.On
	}
	return last, err
}
