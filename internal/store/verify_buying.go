package store

// buyingChecks compare what came for purchases with the spools that came.
var buyingChecks = []check{
	`SELECT 'what came for a purchase is what its spool weighed' AS invariant, r.purchase AS subject,
		'spool ' || r.spool || ' holds ' || (s.gross - s.tare) || ' mg of ' || s.wire || ' as received, and came as ' || r.mass || ' mg of ' || r.wire AS detail
	FROM purchase_receipts r JOIN spools s ON s.code = r.spool
	WHERE r.mass <> s.gross - s.tare OR r.wire <> s.wire
	ORDER BY r.purchase, r.spool`,

	`SELECT 'a purchase that took wire in was sent' AS invariant, p.code AS subject, 'it is ' || p.status AS detail
	FROM purchases p
	WHERE p.status IN ('proposed', 'sent', 'cancelled') AND EXISTS (SELECT 1 FROM purchase_receipts r WHERE r.purchase = p.code)
	ORDER BY p.code`,
}
