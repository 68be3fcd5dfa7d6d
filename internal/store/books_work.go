package store

import (
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/order"
	"windingroom/internal/workshop"
)

// counted are the results that change the books of some days: wound in them and not taken back in them, or taken back in them and wound
// before. A result is taken back on the day its wire came back to the spools, and where it took none on the day it was wound.
const counted = `WITH dated AS (
		SELECT r.*, coalesce((SELECT max(b.effective_on) FROM result_draws d JOIN movements b ON b.reverses = d.movement
			WHERE d.batch = r.batch AND d.number = r.number), r.wound_on) AS back_on
		FROM results r
	), counted AS (
		SELECT d.*, CASE WHEN wound_on BETWEEN ? AND ? THEN 0 ELSE 1 END AS back FROM dated d
		WHERE (wound_on BETWEEN ? AND ? AND (undone_at IS NULL OR back_on > ?))
			OR (undone_at IS NOT NULL AND back_on BETWEEN ? AND ? AND wound_on < ?)
	) `

func between(first, last calendar.Date) []any {
	f, l := from(first), day(last)
	return []any{f, l, f, l, l, f, l, f}
}

type workKey struct {
	Batch  batch.Code
	Number int
}

type workDrawRow struct {
	workKey
	workshop.WorkDraw
}

type workGivenRow struct {
	workKey
	OrderCode      *order.Code
	Line, Position int
	Strings        int
}

type workRow struct {
	workshop.WorkDone
	Back int
}

// Work hands the results of some days to do. What a period winds is small beside its ledger's history, so its draws are read at once.
func (r *reader) Work(first, last calendar.Date, do func(workshop.WorkDone) error) error {
	done, err := list[workRow](r, counted+`SELECT c.batch, c.number, c.wound_on, c.good, c.scrapped, c.minutes, c.person, c.back, b.machine, b.recipe, b.scale
		FROM counted c JOIN batches b ON b.code = c.batch ORDER BY c.wound_on, c.batch, c.number`, between(first, last)...)
	if err != nil {
		return err
	}
	draws, err := list[workDrawRow](r, counted+`SELECT d.batch, d.number, d.spool, d.wire, s.lot, d.strings, d.mass_each AS each, d.mass,
			CASE WHEN c.back = 1 THEN coalesce(b.cost, 0) ELSE -m.cost END AS cost, d.movement
		FROM counted c JOIN result_draws d ON d.batch = c.batch AND d.number = c.number JOIN movements m ON m.id = d.movement
		JOIN spools s ON s.code = d.spool LEFT JOIN movements b ON b.reverses = d.movement
		ORDER BY d.batch, d.number, d.movement`, between(first, last)...)
	if err != nil {
		return err
	}
	given, err := list[workGivenRow](r, counted+`SELECT g.batch, g.number, g.order_code, g.line, g.position, g.strings
		FROM counted c JOIN result_strings g ON g.batch = c.batch AND g.number = c.number ORDER BY g.batch, g.number, g.part`, between(first, last)...)
	if err != nil {
		return err
	}
	drawsOf, givenOf := map[workKey][]workshop.WorkDraw{}, map[workKey][]batch.Serve{}
	for _, d := range draws {
		drawsOf[d.workKey] = append(drawsOf[d.workKey], d.WorkDraw)
	}
	for _, g := range given {
		serve := batch.Serve{Line: g.Line, Position: g.Position, Strings: g.Strings}
		if g.OrderCode != nil {
			serve.Order = *g.OrderCode
		}
		givenOf[g.workKey] = append(givenOf[g.workKey], serve)
	}
	for _, row := range done {
		w, key := row.WorkDone, workKey{row.Batch, row.Number}
		w.TakenBack, w.Draws, w.Given = row.Back == 1, drawsOf[key], givenOf[key]
		if err := do(w); err != nil {
			return err
		}
	}
	return nil
}

// Receipts gives the spools that came in some days and whose receipt was not taken back by the end of them.
func (r *reader) Receipts(first, last calendar.Date) ([]workshop.ReceiptLine, error) {
	return list[workshop.ReceiptLine](r, `SELECT s.code AS spool, s.wire, s.lot, coalesce(p.supplier, w.supplier, '') AS supplier, coalesce(q.purchase, '') AS purchase,
			m.effective_on AS received_on, m.mass, m.cost, coalesce(q.cost, m.cost) AS wire_cost, coalesce(q.expected, -1) AS expected
		FROM movements m JOIN spools s ON s.code = m.spool JOIN wires w ON w.code = s.wire
		LEFT JOIN purchase_receipts q ON q.spool = s.code LEFT JOIN purchases p ON p.code = q.purchase
		WHERE m.kind = 'receipt' AND m.effective_on BETWEEN ? AND ?
			AND NOT EXISTS (SELECT 1 FROM movements b WHERE b.reverses = m.id AND b.effective_on <= ?)
		ORDER BY m.effective_on, m.id`, from(first), day(last), day(last))
}

// PurchaseInvoices gives suppliers' invoices up to a day.
func (r *reader) PurchaseInvoices(until calendar.Date) ([]workshop.PurchaseInvoice, error) {
	rows, err := list[workshop.PurchaseInvoice](r, "SELECT * FROM purchase_invoices WHERE invoiced_on <= ? ORDER BY purchase, number", day(until))
	for i := range rows {
		rows[i].PostedAt = rows[i].PostedAt.In(time.UTC)
	}
	return rows, err
}

// AddPurchaseInvoice adds a supplier's invoice.
func (t *tx) AddPurchaseInvoice(p workshop.PurchaseInvoice) error {
	_, err := t.exec("INSERT INTO purchase_invoices (purchase, number, invoiced_on, amount, posted_at, person) VALUES (?, ?, ?, ?, ?, ?)",
		p.Purchase, p.Number, day(p.InvoicedOn), p.Amount, instant(p.PostedAt), p.Person)
	return named("invoice", p.Number, err)
}
