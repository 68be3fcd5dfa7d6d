package store

import (
	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/workshop"
)

// stillHere counts the strings of a part g of a result that were not given to an order out of finished stock.
const stillHere = `g.strings - coalesce((SELECT CAST(sum(f.strings) AS BIGINT) FROM finished_given f
	WHERE f.batch = g.batch AND f.result = g.number AND f.part = g.part), 0)`

// inStock reads the parts of results that stand and whose strings no order owns, or one that was cancelled, with what is left of
// them.
const inStock = `SELECT g.batch, g.number, g.part, t.wound_on, b.status, b.recipe, b.scale, ` + stillHere + ` AS strings
	FROM result_strings g
	JOIN results t ON t.batch = g.batch AND t.number = g.number
	JOIN batches b ON b.code = g.batch
	WHERE t.undone_at IS NULL AND (g.order_code IS NULL OR g.order_code IN (SELECT code FROM orders WHERE status = 'cancelled'))`

// FinishedStock gives the good strings of no order, or of one that was cancelled.
func (r *reader) FinishedStock() ([]workshop.FinishedStrings, error) {
	return list[workshop.FinishedStrings](r, `SELECT recipe, scale, CAST(sum(strings) AS BIGINT) AS strings FROM (`+inStock+`) s
		WHERE strings > 0 GROUP BY recipe, scale ORDER BY recipe, scale`)
}

// Surplus gives the same of finished batches, part by part, the oldest first.
func (r *reader) Surplus() ([]batch.Surplus, error) {
	type row struct {
		Batch        batch.Code
		Number, Part int
		Recipe       catalog.RecipeCode
		Scale        measure.Size
		Strings      int
	}
	rows, err := list[row](r, `SELECT batch, number, part, recipe, scale, strings FROM (`+inStock+`) s
		WHERE status = 'finished' AND strings > 0 ORDER BY wound_on, batch, number, part`)
	all := make([]batch.Surplus, len(rows))
	for i, s := range rows {
		all[i] = batch.Surplus{Batch: s.Batch, Result: s.Number, Part: s.Part, Recipe: s.Recipe, Scale: s.Scale, Strings: s.Strings}
	}
	return all, err
}

// GivenOf gives what orders were given of a result.
func (r *reader) GivenOf(code batch.Code, result int) ([]batch.Given, error) {
	type row struct {
		Batch        batch.Code
		Result, Part int
		OrderCode    order.Code
		Line         int
		Position     int
		Strings      int
	}
	rows, err := list[row](r, `SELECT * FROM finished_given WHERE batch = ? AND result = ? ORDER BY order_code, line, position, part`, code, result)
	all := make([]batch.Given, len(rows))
	for i, g := range rows {
		all[i] = batch.Given{Batch: g.Batch, Result: g.Result, Part: g.Part,
			Serve: batch.Serve{Order: g.OrderCode, Line: g.Line, Position: g.Position, Strings: g.Strings}}
	}
	return all, err
}

// GiveFinished gives orders strings out of finished stock.
func (t *tx) GiveFinished(given []batch.Given) error {
	for _, g := range given {
		_, err := t.exec(`INSERT INTO finished_given (batch, result, part, order_code, line, position, strings) VALUES (?, ?, ?, ?, ?, ?, ?)
			ON CONFLICT (batch, result, part, order_code, line, position) DO UPDATE SET strings = finished_given.strings + excluded.strings`,
			g.Batch, g.Result, g.Part, g.Order, g.Line, g.Position, g.Strings)
		if err != nil {
			return named("finished strings of order", g.Order, err)
		}
	}
	return nil
}

// ReturnFinished puts back into finished stock what an order was given.
func (t *tx) ReturnFinished(code order.Code) error {
	_, err := t.exec("DELETE FROM finished_given WHERE order_code IN (SELECT code FROM orders WHERE lower(code) = lower(?))", code)
	return named("finished strings of order", code, err)
}

// ReturnFinishedOf puts back what orders were given of one result.
func (t *tx) ReturnFinishedOf(code batch.Code, result int) error {
	_, err := t.exec("DELETE FROM finished_given WHERE batch = ? AND result = ?", code, result)
	return named("finished strings of batch", code, err)
}
