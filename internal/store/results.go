package store

import (
	"fmt"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

type resultRow struct {
	Batch          batch.Code
	Number         int
	WoundOn        calendar.Date
	Good, Scrapped int
	Minutes        time.Duration
	Person         string
	Continues      bool
	PostedAt       time.Time
	PostedBy       string
	Key            string
	UndoneAt       *time.Time
	UndoneBy       string
	UndoReason     string
}

func (r resultRow) result() batch.Result {
	result := batch.Result{Batch: r.Batch, Number: r.Number, WoundOn: r.WoundOn, Good: r.Good, Scrapped: r.Scrapped, Minutes: r.Minutes,
		Person: r.Person, Continues: r.Continues, PostedAt: r.PostedAt.UTC(), PostedBy: r.PostedBy, Key: r.Key,
		UndoneBy: r.UndoneBy, UndoReason: r.UndoReason}
	if r.UndoneAt != nil {
		result.UndoneAt = r.UndoneAt.UTC()
	}
	return result
}

type takenRow struct {
	Number   int
	Spool    stock.SpoolCode
	Wire     material.WireCode
	Strings  int
	MassEach measure.MassEach
	Mass     measure.Mass
	Movement stock.MovementID
}

type givenRow struct {
	Number    int
	OrderCode order.Code
	Line      int
	Position  int
	Strings   int
}

// Batch gives one batch.
func (r *reader) Batch(code batch.Code) (batch.Batch, error) {
	found, err := r.batches("lower(code) = lower(?)", code)
	if err == nil && len(found) == 0 {
		err = workshop.ErrNotFound
	}
	if err != nil {
		return batch.Batch{}, named("batch", code, err)
	}
	return found[0], nil
}

// Served says whether a batch that is released or finished serves an order.
func (r *reader) Served(code order.Code) (bool, error) {
	n, err := one[int64](r, `SELECT count(*) FROM batch_serves s JOIN batches b ON b.code = s.batch JOIN orders o ON o.code = s.order_code
		WHERE lower(o.code) = lower(?) AND b.status IN ('released', 'finished')`, code)
	return n > 0, err
}

// BatchesServing gives the released batches that wind for an order and are not finished.
func (r *reader) BatchesServing(code order.Code) ([]batch.Batch, error) {
	return r.batches(`status = 'released' AND code IN (SELECT batch FROM batch_serves WHERE order_code IN
		(SELECT code FROM orders WHERE lower(code) = lower(?)))`, code)
}

// Results gives the results of a batch by number.
func (r *reader) Results(code batch.Code) ([]batch.Result, error) {
	return r.results("lower(batch) = lower(?)", code)
}

// ResultByKey gives the result that stands under an idempotency key.
func (r *reader) ResultByKey(key string) (batch.Result, error) {
	at, err := one[resultRow](r, "SELECT batch, number FROM results WHERE key = ? AND undone_at IS NULL", key)
	if err != nil {
		return batch.Result{}, named("result", key, err)
	}
	found, err := r.results("batch = ? AND number = ?", at.Batch, at.Number)
	if err != nil {
		return batch.Result{}, err
	}
	return found[0], nil
}

// results reads the results of a condition that names one batch, in three queries.
func (r *reader) results(where string, args ...any) ([]batch.Result, error) {
	rows, err := list[resultRow](r, "SELECT * FROM results WHERE "+where+" ORDER BY number", args...)
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	takenRows, err := list[takenRow](r, "SELECT * FROM result_draws WHERE "+where+" ORDER BY number, spool", args...)
	if err != nil {
		return nil, err
	}
	givenRows, err := list[givenRow](r, "SELECT * FROM result_strings WHERE "+where+" ORDER BY number, part", args...)
	if err != nil {
		return nil, err
	}
	results := make([]batch.Result, len(rows))
	place := map[int]int{}
	for i, row := range rows {
		results[i] = row.result()
		place[row.Number] = i
	}
	for _, d := range takenRows {
		to := &results[place[d.Number]]
		to.Draws = append(to.Draws, batch.Taken{Spool: d.Spool, Wire: d.Wire, Strings: d.Strings, Each: d.MassEach, Mass: d.Mass, Movement: d.Movement})
	}
	for _, g := range givenRows {
		to := &results[place[g.Number]]
		to.Given = append(to.Given, batch.Serve{Order: g.OrderCode, Line: g.Line, Position: g.Position, Strings: g.Strings})
	}
	return results, nil
}

// AddResult adds a result under its batch's next number.
func (t *tx) AddResult(r batch.Result) (batch.Result, error) {
	if err := t.refuseClosedOn("a result of batch "+string(r.Batch), r.WoundOn); err != nil {
		return r, err
	}
	var err error
	r.Number, err = one[int](&t.reader, "SELECT coalesce(max(number), 0) + 1 FROM results WHERE batch = ?", r.Batch)
	if err != nil {
		return r, named("result of batch", r.Batch, err)
	}
	r.PostedAt = instant(r.PostedAt)
	const columns = "batch, number, wound_on, good, scrapped, minutes, person, continues, posted_at, posted_by, key"
	err = insert(t, "results", columns, []batch.Result{r}, func(r batch.Result) []any {
		return []any{r.Batch, r.Number, day(r.WoundOn), r.Good, r.Scrapped, int64(r.Minutes), r.Person, r.Continues, r.PostedAt, r.PostedBy, orNull(r.Key)}
	})
	if err != nil {
		return r, named("result of batch", r.Batch, err)
	}
	err = insert(t, "result_draws", "batch, number, spool, wire, strings, mass_each, mass, movement", r.Draws, func(d batch.Taken) []any {
		return []any{r.Batch, r.Number, d.Spool, d.Wire, d.Strings, d.Each, d.Mass, int64(d.Movement)}
	})
	if err != nil {
		return r, named("draws of batch", r.Batch, err)
	}
	part := 0
	err = insert(t, "result_strings", "batch, number, part, order_code, line, position, strings", r.Given, func(s batch.Serve) []any {
		part++
		return []any{r.Batch, r.Number, part, orNull(s.Order), s.Line, s.Position, s.Strings}
	})
	if err != nil {
		return r, named("strings of batch", r.Batch, err)
	}
	return r, t.count(r.Batch, r.Good, r.Scrapped)
}

// UndoResult marks a result undone. One that took wire is taken back on the day the wire came back; one that took none belongs to the day it
// was wound, whose month must be open.
func (t *tx) UndoResult(code batch.Code, number int, by, reason string, at time.Time) error {
	bare, err := list[calendar.Date](&t.reader, `SELECT wound_on FROM results r WHERE batch = ? AND number = ?
		AND NOT EXISTS (SELECT 1 FROM result_draws d WHERE d.batch = r.batch AND d.number = r.number)`, code, number)
	if err != nil {
		return named("result of batch", code, err)
	}
	for _, on := range bare {
		if err := t.refuseClosedOn("a result of batch "+string(code)+" without wire", on); err != nil {
			return err
		}
	}
	n, err := t.exec(`UPDATE results SET undone_at = ?, undone_by = ?, undo_reason = ?
		WHERE batch = ? AND number = ? AND undone_at IS NULL`, instant(at), by, reason, code, number)
	if err != nil || n != 1 {
		if err == nil {
			err = workshop.ErrChanged
		}
		return named("result of batch", code, err)
	}
	r, err := one[resultRow](&t.reader, "SELECT good, scrapped FROM results WHERE batch = ? AND number = ?", code, number)
	if err != nil {
		return err
	}
	return t.count(code, -r.Good, -r.Scrapped)
}

// count keeps the sums of a recipe's results.
func (t *tx) count(code batch.Code, good, scrapped int) error {
	if good == 0 && scrapped == 0 {
		return nil
	}
	_, err := t.exec(`INSERT INTO recipe_results (recipe, good, scrapped) SELECT recipe, 0, 0 FROM batches WHERE code = ?
		ON CONFLICT (recipe) DO NOTHING`, code)
	if err == nil {
		_, err = t.exec(`UPDATE recipe_results SET good = good + ?, scrapped = scrapped + ?
			WHERE recipe = (SELECT recipe FROM batches WHERE code = ?)`, good, scrapped, code)
	}
	return named("results of batch", code, err)
}

// SetDrawAllocated sets what of a draw, counted from 1, is still promised.
func (t *tx) SetDrawAllocated(code batch.Code, draw int, mass measure.Mass) error {
	n, err := t.exec("UPDATE batch_draws SET allocated = ? WHERE batch = ? AND number = ?", mass, code, draw)
	if err == nil && n != 1 {
		err = workshop.ErrNotFound
	}
	return named("draw of batch", code, err)
}

// SetBatchStatus moves a batch on.
func (t *tx) SetBatchStatus(code batch.Code, from, to batch.Status) error {
	n, err := t.exec("UPDATE batches SET status = ? WHERE code = ? AND status = ?", to, code, from)
	if err == nil && n != 1 {
		err = fmt.Errorf("it is no longer %s: %w", from, workshop.ErrChanged)
	}
	return named("batch", code, err)
}

// GoodStrings gives, for each string of an order, how many good ones exist: wound for it, or given out of finished stock.
func (r *reader) GoodStrings(code order.Code) ([]batch.Serve, error) {
	const its = "g.order_code IN (SELECT code FROM orders WHERE lower(code) = lower(?))"
	rows, err := list[serveRow](r, `SELECT order_code, line, position, CAST(sum(strings) AS BIGINT) AS strings FROM (
			SELECT g.order_code, g.line, g.position, `+stillHere+` AS strings
			FROM result_strings g JOIN results t ON t.batch = g.batch AND t.number = g.number
			WHERE t.undone_at IS NULL AND `+its+`
			UNION ALL
			SELECT g.order_code, g.line, g.position, g.strings FROM finished_given g WHERE `+its+`) s
		WHERE strings > 0
		GROUP BY order_code, line, position
		ORDER BY line, position`, code, code)
	serves := make([]batch.Serve, len(rows))
	for i, row := range rows {
		serves[i] = row.serve()
	}
	return serves, err
}

// RecipeResults gives what came off the machine of each recipe so far.
func (r *reader) RecipeResults() (map[catalog.RecipeCode]batch.Results, error) {
	type row struct {
		Recipe         catalog.RecipeCode
		Good, Scrapped int
	}
	rows, err := list[row](r, "SELECT * FROM recipe_results")
	of := make(map[catalog.RecipeCode]batch.Results, len(rows))
	for _, c := range rows {
		of[c.Recipe] = batch.Results{Good: c.Good, Scrapped: c.Scrapped}
	}
	return of, err
}

// WeighedDraws gives what batches took from spools that were weighed afterwards. Weighings that were taken back do not count.
func (r *reader) WeighedDraws() ([]workshop.WeighedDraw, error) {
	return list[workshop.WeighedDraw](r, `
		WITH weighed AS (
			SELECT m.spool, max(m.effective_at) AS at
			FROM weighings w JOIN movements m ON m.id = w.movement
			WHERE `+notKeeping+` AND NOT EXISTS (SELECT 1 FROM movements b WHERE b.reverses = m.id)
			GROUP BY m.spool
		), shares AS (
			SELECT s.batch, m.spool, sum(s.mass) AS mass
			FROM weighing_shares s JOIN movements m ON m.id = s.movement
			WHERE s.batch IS NOT NULL AND NOT EXISTS (SELECT 1 FROM movements b WHERE b.reverses = m.id)
			GROUP BY s.batch, m.spool
		)
		SELECT b.recipe, b.scale, d.wire, CAST(sum(d.strings) AS BIGINT) AS strings, CAST(sum(d.mass) AS BIGINT) AS drawn,
			CAST(coalesce(max(s.mass), 0) AS BIGINT) AS share
		FROM result_draws d
		JOIN results t ON t.batch = d.batch AND t.number = d.number
		JOIN batches b ON b.code = d.batch
		JOIN movements m ON m.id = d.movement
		JOIN weighed w ON w.spool = d.spool AND w.at >= m.effective_at
		LEFT JOIN shares s ON s.batch = d.batch AND s.spool = d.spool
		WHERE t.undone_at IS NULL
		GROUP BY b.code, b.recipe, b.scale, d.wire, d.spool
		ORDER BY b.code, d.wire, d.spool`)
}
