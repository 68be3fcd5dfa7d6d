package store

// planChecks compare batches with the spools, orders and recipes they name. A finished batch is past: its recipe may have
// been changed since.
var planChecks = []check{
	`SELECT 'a batch draws each wire from a spool of that wire' AS invariant, d.batch AS subject,
		'draws ' || d.wire || ' from spool ' || d.spool || ' of ' || coalesce(s.wire, 'no wire') AS detail
	FROM batch_draws d LEFT JOIN spools s ON s.code = d.spool
	WHERE s.code IS NULL OR s.wire <> d.wire
	ORDER BY d.batch, d.number`,

	`SELECT 'a batch serves strings that orders have' AS invariant, v.batch AS subject,
		'order ' || v.order_code || ' has no line ' || v.line || ' position ' || v.position AS detail
	FROM batch_serves v LEFT JOIN order_strings o ON o.order_code = v.order_code AND o.line = v.line AND o.position = v.position
	WHERE o.order_code IS NULL
	ORDER BY v.batch, v.order_code, v.line, v.position`,

	`SELECT 'a batch is ordered by the strings it serves' AS invariant, b.code AS subject,
		'ordered ' || b.ordered || ', serves ' || coalesce(v.strings, 0) AS detail
	FROM batches b LEFT JOIN (SELECT batch, sum(strings) AS strings FROM batch_serves GROUP BY batch) v ON v.batch = b.code
	WHERE b.ordered <> coalesce(v.strings, 0)
	ORDER BY b.code`,

	`SELECT 'a batch draws every wire of its recipe for every string' AS invariant, b.code AS subject,
		'winds ' || b.to_wind || ', draws ' || w.wire || ' for ' || coalesce(d.strings, 0) AS detail
	FROM batches b
	JOIN (SELECT code AS recipe, core AS wire FROM recipes UNION SELECT recipe, wire FROM recipe_wraps) w ON w.recipe = b.recipe
	LEFT JOIN (SELECT batch, wire, sum(strings) AS strings FROM batch_draws GROUP BY batch, wire) d
		ON d.batch = b.code AND d.wire = w.wire
	WHERE b.status <> 'finished' AND b.to_wind <> coalesce(d.strings, 0)
	ORDER BY b.code, w.wire`,

	`SELECT 'a batch draws no wire that its recipe does not have' AS invariant, b.code AS subject,
		'draws ' || d.wire || ' from spool ' || d.spool AS detail
	FROM batches b
	JOIN batch_draws d ON d.batch = b.code
	LEFT JOIN (SELECT code AS recipe, core AS wire FROM recipes UNION SELECT recipe, wire FROM recipe_wraps) w
		ON w.recipe = b.recipe AND w.wire = d.wire
	WHERE b.status <> 'finished' AND w.wire IS NULL
	ORDER BY b.code, d.number`,

	`SELECT 'a batch is released with the plan of its day' AS invariant, b.code AS subject,
		'it is ' || b.status || ' and nothing of the plan of ' || b.date || ' is released' AS detail
	FROM batches b JOIN plans p ON p.date = b.date
	WHERE NOT p.released AND b.status <> 'proposed'
	ORDER BY b.code`,

	`SELECT 'a plan of which something is released has a batch that is' AS invariant, p.date AS subject,
		'all its ' || b.batches || ' batches are proposed' AS detail
	FROM plans p JOIN (SELECT date, count(*) AS batches FROM batches GROUP BY date HAVING sum(CASE WHEN status = 'proposed' THEN 0 ELSE 1 END) = 0) b
		ON b.date = p.date
	WHERE p.released
	ORDER BY p.date`,
}
