package store

import (
	"windingroom/internal/order"
	"windingroom/internal/workshop"
)

// traced reads good strings with the spools of the results they came from, wherever those strings are now: where the result gave
// them, or with an order that was given them out of finished stock. A lot is matched without case, as codes are.
func (r *reader) traced(where string, arg any) ([]workshop.TracedString, error) {
	const wound = "(SELECT g.batch, g.number, g.order_code, g.line, g.position, " + stillHere + " AS strings FROM result_strings g)"
	const given = "(SELECT batch, result AS number, order_code, line, position, strings FROM finished_given)"
	from := func(strings string) string {
		return `SELECT coalesce(g.order_code, '') AS "order", coalesce(o.customer, '') AS customer, o.due_on, coalesce(o.status, '') AS status,
			g.line, g.position, b.recipe, b.scale, g.strings, g.batch, g.number AS result, t.wound_on, t.person, b.machine,
			d.spool, d.wire, s.lot, coalesce(w.supplier, '') AS supplier, s.received_on, d.strings AS spool_took, d.mass_each AS each, d.mass AS drawn
		FROM ` + strings + ` g
		JOIN results t ON t.batch = g.batch AND t.number = g.number
		JOIN batches b ON b.code = g.batch
		LEFT JOIN orders o ON o.code = g.order_code
		LEFT JOIN result_draws d ON d.batch = g.batch AND d.number = g.number
		LEFT JOIN spools s ON s.code = d.spool
		LEFT JOIN wires w ON w.code = d.wire
		WHERE t.undone_at IS NULL AND g.strings > 0 AND ` + where
	}
	rows, err := list[workshop.TracedString](r, "SELECT * FROM ("+from(wound)+" UNION ALL "+from(given)+`) x
		ORDER BY "order", line, position, batch, result, wire, spool`, arg, arg)
	return joined(rows), err
}

// joined adds up the strings of one place that are of one result: wound for it, and given to it later.
func joined(rows []workshop.TracedString) []workshop.TracedString {
	var all []workshop.TracedString
	for _, t := range rows {
		if last := len(all) - 1; last >= 0 {
			same := all[last]
			same.Strings = t.Strings
			if same == t {
				all[last].Strings += t.Strings
				continue
			}
		}
		all = append(all, t)
	}
	return all
}

// TraceOf gives the good strings of one order with the wire they were wound from.
func (r *reader) TraceOf(code order.Code) ([]workshop.TracedString, error) {
	return r.traced("lower(o.code) = lower(?)", code)
}

// TraceOfLot gives the spools of a lot, the batches that drew on them or will, and the good strings wound from them.
func (r *reader) TraceOfLot(lot string) ([]workshop.TracedSpool, []workshop.TracedBatch, []workshop.TracedString, error) {
	spools, err := list[workshop.TracedSpool](r, `
		SELECT s.code AS spool, s.wire, s.lot, coalesce(w.supplier, '') AS supplier, s.received_on, s.gross - s.tare AS received, s.mass AS on_hand,
			coalesce(d.mass, 0) AS drawn
		FROM spools s
		JOIN wires w ON w.code = s.wire
		LEFT JOIN (SELECT d.spool, CAST(sum(d.mass) AS BIGINT) AS mass FROM result_draws d
			JOIN results t ON t.batch = d.batch AND t.number = d.number
			WHERE t.undone_at IS NULL GROUP BY d.spool) d ON d.spool = s.code
		WHERE lower(s.lot) = lower(?)
		ORDER BY s.code`, lot)
	if err != nil || len(spools) == 0 {
		return nil, nil, nil, err
	}
	batches, err := list[workshop.TracedBatch](r, `
		SELECT b.code AS batch, b.date, b.machine, b.status, b.recipe, b.scale, CAST(sum(x.drawn) AS BIGINT) AS drawn, CAST(sum(x.held) AS BIGINT) AS held
		FROM (SELECT d.batch, d.mass AS drawn, 0 AS held
				FROM result_draws d JOIN results t ON t.batch = d.batch AND t.number = d.number JOIN spools s ON s.code = d.spool
				WHERE t.undone_at IS NULL AND lower(s.lot) = lower(?)
			UNION ALL
			SELECT d.batch, 0 AS drawn, d.allocated AS held FROM batch_draws d JOIN spools s ON s.code = d.spool
				WHERE d.allocated > 0 AND lower(s.lot) = lower(?)) x
		JOIN batches b ON b.code = x.batch
		GROUP BY b.code, b.date, b.machine, b.status, b.recipe, b.scale
		ORDER BY b.date, b.code`, lot, lot)
	if err != nil {
		return nil, nil, nil, err
	}
	strings, err := r.traced("lower(s.lot) = lower(?)", lot)
	return spools, batches, strings, err
}
