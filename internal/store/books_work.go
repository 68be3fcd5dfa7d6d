package store

import (
	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/order"
	"windingroom/internal/purchase"
	"windingroom/internal/stock"
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
	Batch  batch.Code
	Number int
	workshop.WorkDraw
}

type workGivenRow struct {
	Batch          batch.Code
	Number         int
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
	done, err := list[workRow](r, counted+`SELECT c.batch, c.number, c.wound_on, c.good, c.scrapped, c.minutes, c.person, c.back, b.machine, b.recipe, b.scale, b.setup
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
		key := workKey{d.Batch, d.Number}
		drawsOf[key] = append(drawsOf[key], d.WorkDraw)
	}
	for _, g := range given {
		serve := batch.Serve{Line: g.Line, Position: g.Position, Strings: g.Strings}
		if g.OrderCode != nil {
			serve.Order = *g.OrderCode
		}
		key := workKey{g.Batch, g.Number}
		givenOf[key] = append(givenOf[key], serve)
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

// Charges gives the shares of weighings, and against them those of weighings that were taken back.
func (r *reader) Charges(first, last calendar.Date) ([]workshop.Charge, error) {
	return list[workshop.Charge](r, `SELECT c.movement, c.spool, s.wire, s.lot, c.mass, coalesce(b.code, '') AS batch, coalesce(b.machine, '') AS machine,
			coalesce(b.recipe, '') AS recipe, coalesce(b.scale, 0) AS scale
		FROM (SELECT m.id AS movement, m.spool, h.number, h.mass, h.batch, m.effective_on FROM movements m JOIN weighing_shares h ON h.movement = m.id
			UNION ALL
			SELECT m.id, m.spool, h.number, -h.mass, h.batch, m.effective_on FROM movements m JOIN weighing_shares h ON h.movement = m.reverses) c
		JOIN spools s ON s.code = c.spool LEFT JOIN batches b ON b.code = c.batch
		WHERE c.effective_on BETWEEN ? AND ? ORDER BY c.movement, c.number`, from(first), day(last))
}

// Bought says where spools came from that moved as receipts or returns.
func (r *reader) Bought(first, last calendar.Date) (map[stock.SpoolCode]workshop.Bought, error) {
	type row struct {
		Spool stock.SpoolCode
		workshop.Bought
	}
	rows, err := list[row](r, `SELECT s.code AS spool, coalesce(p.supplier, w.supplier, '') AS supplier, coalesce(q.purchase, '') AS purchase,
			coalesce(q.cost, s.cost) AS wire_cost, coalesce(q.expected, -1) AS expected
		FROM spools s JOIN wires w ON w.code = s.wire LEFT JOIN purchase_receipts q ON q.spool = s.code LEFT JOIN purchases p ON p.code = q.purchase
		WHERE s.code IN (SELECT m.spool FROM movements m LEFT JOIN movements o ON o.id = m.reverses
			WHERE m.effective_on BETWEEN ? AND ? AND coalesce(o.kind, m.kind) IN ('receipt', 'return to supplier', 'cost difference'))`, from(first), day(last))
	of := make(map[stock.SpoolCode]workshop.Bought, len(rows))
	for _, f := range rows {
		of[f.Spool] = f.Bought
	}
	return of, err
}

// NotInvoiced puts what came for purchases beside their invoices.
func (r *reader) NotInvoiced(until calendar.Date) ([]workshop.NotInvoiced, error) {
	return list[workshop.NotInvoiced](r, `SELECT p.code AS purchase, p.supplier, c.last_on, c.mass, c.cost AS received, coalesce(i.amount, 0) AS invoiced
		FROM purchases p
		JOIN (SELECT q.purchase, max(m.effective_on) AS last_on, CAST(sum(m.mass) AS BIGINT) AS mass, CAST(sum(m.cost) AS BIGINT) AS cost
			FROM purchase_receipts q JOIN movements m ON m.spool = q.spool LEFT JOIN movements o ON o.id = m.reverses
			WHERE m.effective_on <= ? AND coalesce(o.kind, m.kind) IN ('receipt', 'return to supplier', 'cost difference') GROUP BY q.purchase) c ON c.purchase = p.code
		LEFT JOIN (SELECT purchase, CAST(sum(amount) AS BIGINT) AS amount FROM purchase_invoices WHERE invoiced_on <= ? GROUP BY purchase) i
			ON i.purchase = p.code
		WHERE c.cost <> coalesce(i.amount, 0)
		ORDER BY p.code`, day(until), day(until))
}

// AddPurchaseInvoice adds a supplier's invoice.
func (t *tx) AddPurchaseInvoice(p workshop.PurchaseInvoice) error {
	_, err := t.exec("INSERT INTO purchase_invoices (purchase, number, invoiced_on, amount, posted_at, person, corrects) VALUES (?, ?, ?, ?, ?, ?, ?)",
		p.Purchase, p.Number, day(p.InvoicedOn), p.Amount, instant(p.PostedAt), p.Person, p.Corrects)
	return named("invoice", p.Number, err)
}

// PurchaseInvoices gives the invoices of a purchase in the order they were noted.
func (r *reader) PurchaseInvoices(code purchase.Code) ([]workshop.PurchaseInvoice, error) {
	invoices, err := list[workshop.PurchaseInvoice](r, "SELECT * FROM purchase_invoices WHERE lower(purchase) = lower(?) ORDER BY posted_at, number", code)
	for i := range invoices {
		invoices[i].PostedAt = invoices[i].PostedAt.UTC()
	}
	return invoices, err
}

// CameFor gives the spools that came for a purchase with what their wire has cost so far.
func (r *reader) CameFor(code purchase.Code) ([]workshop.CameFor, error) {
	return list[workshop.CameFor](r, `SELECT q.spool, CAST(sum(m.cost) AS BIGINT) AS cost
		FROM purchase_receipts q JOIN movements m ON m.spool = q.spool LEFT JOIN movements o ON o.id = m.reverses
		WHERE lower(q.purchase) = lower(?) AND coalesce(o.kind, m.kind) IN ('receipt', 'return to supplier', 'cost difference')
		GROUP BY q.spool ORDER BY q.spool`, code)
}
