package store

import (
	"fmt"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

const (
	spoolColumns = `s.code, s.wire, s.lot, s.received_on, s.gross, s.tare, s.cost, s.late_cost, s.location, coalesce(s.spool_type, ''),
		s.state, w.usable_end, `
	selectSpools = "SELECT " + spoolColumns + "s.mass, s.value, s.allocated FROM spools s JOIN wires w ON w.code = s.wire "
)

// balances reads spools with what they hold, row by row: a shop has thousands, every plan reads them all, and this takes
// half the time of GORM's Scan.
func (r *reader) balances(query string, args ...any) (list []stock.Balance, err error) {
	rows, err := r.db.Raw(query, args...).Rows()
	if err != nil {
		return nil, translate(err)
	}
	defer rows.Close()
	for rows.Next() {
		var b stock.Balance
		err := rows.Scan(&b.Code, &b.Wire, &b.Lot, &b.ReceivedOn, &b.Gross, &b.Tare, &b.Cost, &b.Late, &b.Location, &b.Type,
			&b.State, &b.UsableEnd, &b.Mass, &b.Value, &b.Allocated)
		if err != nil {
			return nil, translate(err)
		}
		list = append(list, b)
	}
	return list, translate(rows.Err())
}

// Spool gives one spool with its balance.
func (r *reader) Spool(code stock.SpoolCode) (stock.Balance, error) {
	found, err := r.balances(selectSpools+"WHERE lower(s.code) = lower(?)", code)
	switch {
	case err != nil:
		return stock.Balance{}, named("spool", code, err)
	case len(found) == 0:
		return stock.Balance{}, named("spool", code, workshop.ErrNotFound)
	}
	return found[0], nil
}

// Spools gives all spools with their balances.
func (r *reader) Spools() ([]stock.Balance, error) {
	return r.balances(selectSpools + "ORDER BY s.code")
}

// SpoolsAt gives the spools received by then as they were when a day was over.
func (r *reader) SpoolsAt(date calendar.Date) ([]stock.Balance, error) {
	return r.balances(`
		SELECT `+spoolColumns+`coalesce(m.mass, 0), coalesce(m.value, 0), 0
		FROM spools s
		JOIN wires w ON w.code = s.wire
		LEFT JOIN (SELECT spool, sum(mass) AS mass, sum(cost) AS value FROM movements WHERE effective_on <= ? GROUP BY spool) m
			ON m.spool = s.code
		WHERE s.received_on <= ?
		ORDER BY s.code`, day(date), day(date))
}

// AddSpools adds spools that hold nothing yet: their receipts are movements.
func (t *tx) AddSpools(spools []stock.Spool) error {
	if err := refuseTaken(t, "spool", "spools", spools, func(s stock.Spool) stock.SpoolCode { return s.Code }); err != nil {
		return err
	}
	const columns = "code, wire, lot, received_on, gross, tare, cost, location, spool_type, mass, value, allocated"
	return insert(t, "spools", columns, spools, func(s stock.Spool) []any {
		return []any{s.Code, s.Wire, s.Lot, day(s.ReceivedOn), s.Gross, s.Tare, s.Cost, s.Location, orNull(s.Type), 0, 0, 0}
	})
}

// Allocate promises wire of a spool to batches, or frees it where mass is negative. The guard is in the statement, so two
// that ask at once cannot both get the last of it.
func (t *tx) Allocate(code stock.SpoolCode, mass measure.Mass) error {
	n, err := t.exec(`UPDATE spools SET allocated = allocated + ?
		WHERE lower(code) = lower(?) AND allocated + ? BETWEEN 0 AND mass AND (CAST(? AS BIGINT) < 0 OR state <> 'quarantined')`,
		mass, code, mass, mass)
	if err != nil || n == 1 {
		return err
	}
	b, err := t.Spool(code)
	switch {
	case err != nil:
		return err
	case mass < 0:
		return fmt.Errorf("spool %s has %s allocated and cannot free %s: %w", b.Code, b.Allocated, -mass, stock.ErrNegative)
	}
	if b.State == stock.Quarantined {
		return fmt.Errorf("spool %s is quarantined and cannot promise %s: %w", b.Code, mass, workshop.ErrShort)
	}
	return fmt.Errorf("spool %s has %s free and cannot promise %s: %w", b.Code, b.Free(), mass, workshop.ErrShort)
}
