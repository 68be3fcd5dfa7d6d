package store

import (
	"time"

	"windingroom/internal/costing"
	"windingroom/internal/workshop"
)

type periodRow struct {
	Month       string
	ClosedAt    time.Time
	ClosedBy    string
	FiguresHash string
	Figures     string
}

type closingRow struct {
	Month       string
	Act         string
	At          time.Time
	Person      string
	Reason      string
	FiguresHash string
}

type methodRow struct {
	Family    string
	FromMonth string
	Method    costing.Formula
	Reason    string
	SetAt     time.Time
	SetBy     string
}

// Periods gives the closed months in order.
func (r *reader) Periods() ([]workshop.Period, error) {
	return months(r, func(row periodRow) (string, workshop.Period) {
		return row.Month, workshop.Period{ClosedAt: row.ClosedAt.UTC(), ClosedBy: row.ClosedBy, Hash: row.FiguresHash, Figures: row.Figures}
	}, func(p *workshop.Period) *costing.Period { return &p.Month }, "SELECT * FROM periods ORDER BY month")
}

// Closings gives every closing and reopening in the order they happened.
func (r *reader) Closings() ([]workshop.Closing, error) {
	return months(r, func(row closingRow) (string, workshop.Closing) {
		return row.Month, workshop.Closing{Act: row.Act, At: row.At.UTC(), Person: row.Person, Reason: row.Reason, Hash: row.FiguresHash}
	}, func(c *workshop.Closing) *costing.Period { return &c.Month }, "SELECT * FROM closings ORDER BY number")
}

// months reads rows that name a month, and puts the month in its place.
func months[R, V any](r *reader, read func(R) (string, V), place func(*V) *costing.Period, query string) ([]V, error) {
	rows, err := list[R](r, query)
	if err != nil {
		return nil, err
	}
	values := make([]V, len(rows))
	for i, row := range rows {
		var month string
		month, values[i] = read(row)
		if *place(&values[i]), err = costing.ParsePeriod(month); err != nil {
			return nil, err
		}
	}
	return values, nil
}

// ClosePeriod closes a month.
func (t *tx) ClosePeriod(p workshop.Period) error {
	_, err := t.exec("INSERT INTO periods (month, closed_at, closed_by, figures_hash, figures) VALUES (?, ?, ?, ?, ?)",
		p.Month.String(), instant(p.ClosedAt), p.ClosedBy, p.Hash, p.Figures)
	if err != nil {
		return named("month", p.Month.String(), err)
	}
	return t.addClosing(workshop.Closing{Month: p.Month, Act: workshop.Closed, At: p.ClosedAt, Person: p.ClosedBy, Hash: p.Hash})
}

// ReopenPeriod opens a closed month again.
func (t *tx) ReopenPeriod(c workshop.Closing) error {
	n, err := t.exec("DELETE FROM periods WHERE month = ?", c.Month.String())
	if err == nil && n != 1 {
		err = workshop.ErrNotFound
	}
	if err != nil {
		return named("closed month", c.Month.String(), err)
	}
	return t.addClosing(c)
}

func (t *tx) addClosing(c workshop.Closing) error {
	last, err := one[int64](&t.reader, "SELECT coalesce(max(number), 0) FROM closings")
	if err == nil {
		_, err = t.exec("INSERT INTO closings (number, month, act, at, person, reason, figures_hash) VALUES (?, ?, ?, ?, ?, ?, ?)",
			last+1, c.Month.String(), c.Act, instant(c.At), c.Person, c.Reason, c.Hash)
	}
	return named("month", c.Month.String(), err)
}

// CostMethods gives what was decided of the books' methods.
func (r *reader) CostMethods() ([]workshop.CostMethod, error) {
	return months(r, func(row methodRow) (string, workshop.CostMethod) {
		return row.FromMonth, workshop.CostMethod{Method: costing.Method{Family: row.Family, Formula: row.Method},
			Reason: row.Reason, SetAt: row.SetAt.UTC(), SetBy: row.SetBy}
	}, func(m *workshop.CostMethod) *costing.Period { return &m.From }, "SELECT * FROM cost_methods ORDER BY family, from_month")
}

// SetCostMethod decides a family's method from a month on.
func (t *tx) SetCostMethod(m workshop.CostMethod) error {
	_, err := t.exec(`INSERT INTO cost_methods (family, from_month, method, reason, set_at, set_by) VALUES (?, ?, ?, ?, ?, ?)
		ON CONFLICT (family, from_month) DO UPDATE SET method = excluded.method, reason = excluded.reason, set_at = excluded.set_at, set_by = excluded.set_by`,
		m.Family, m.From.String(), m.Formula, m.Reason, instant(m.SetAt), m.SetBy)
	return named("method of", m.Family, err)
}
