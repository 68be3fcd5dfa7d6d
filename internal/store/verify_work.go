package store

// workChecks compare what is promised to orders with what is free, and results with what they posted and gave. good sums count
// results that stand.
var workChecks = []check{
	`SELECT 'wire allocated to orders is free on its spools' AS invariant, a.wire AS subject,
		'orders hold ' || a.mass || ' mg, its spools have ' || coalesce(s.free, 0) || ' mg free' AS detail
	FROM (SELECT wire, sum(mass) AS mass FROM order_allocations GROUP BY wire) a
	LEFT JOIN (SELECT wire, sum(mass - allocated) AS free FROM spools GROUP BY wire) s ON s.wire = a.wire
	WHERE a.mass > coalesce(s.free, 0)
	ORDER BY a.wire`,

	`SELECT 'only an open order holds wire' AS invariant, a.order_code AS subject,
		'it is ' || coalesce(o.status, 'gone') || ' and holds ' || a.mass || ' mg of ' || a.wire AS detail
	FROM order_allocations a LEFT JOIN orders o ON o.code = a.order_code
	WHERE o.code IS NULL OR o.status NOT IN ('confirmed', 'planned')
	ORDER BY a.order_code, a.wire`,

	`SELECT 'only a released batch holds wire' AS invariant, d.batch AS subject,
		'it is ' || b.status || ' and holds ' || d.allocated || ' mg of spool ' || d.spool AS detail
	FROM batch_draws d JOIN batches b ON b.code = d.batch
	WHERE d.allocated <> 0 AND b.status <> 'released'
	ORDER BY d.batch, d.number`,

	`SELECT 'a planned draw is its strings times the mass of each' AS invariant, batch AS subject,
		strings || ' strings of ' || mass_each || ' ng of spool ' || spool || ' are planned to draw ' || mass || ' mg' AS detail
	FROM batch_draws
	WHERE mass_each > 0 AND mass <> (mass_each * strings + 500000) / 1000000
	ORDER BY batch, number`,

	`SELECT 'a batch is finished by its last result' AS invariant, b.code AS subject,
		'it is ' || b.status || ', its results ' || CASE WHEN t.batch IS NULL THEN 'do not finish it' ELSE 'finish it' END AS detail
	FROM batches b LEFT JOIN (SELECT DISTINCT batch FROM results WHERE undone_at IS NULL AND NOT continues) t ON t.batch = b.code
	WHERE (b.status = 'finished') <> (t.batch IS NOT NULL)
	ORDER BY b.code`,

	`SELECT 'a result takes every wire of its batch for every string' AS invariant, t.batch AS subject,
		'result ' || t.number || ' wound ' || (t.good + t.scrapped) || ', took ' || w.wire || ' for ' || coalesce(d.strings, 0) AS detail
	FROM results t
	JOIN (SELECT DISTINCT batch, wire FROM batch_draws) w ON w.batch = t.batch
	LEFT JOIN (SELECT batch, number, wire, sum(strings) AS strings FROM result_draws GROUP BY batch, number, wire) d
		ON d.batch = t.batch AND d.number = t.number AND d.wire = w.wire
	WHERE t.good + t.scrapped <> coalesce(d.strings, 0)
	ORDER BY t.batch, t.number, w.wire`,

	// Half a milligram is rounded up, once for all strings of a batch from one spool.
	`SELECT 'what a batch drew is its strings times the mass of each' AS invariant, d.batch AS subject,
		d.strings || ' strings of ' || d.mass_each || ' ng of spool ' || d.spool || ' drew ' || d.mass || ' mg' AS detail
	FROM (SELECT d.batch, d.spool, d.mass_each, CAST(sum(d.strings) AS BIGINT) AS strings, CAST(sum(d.mass) AS BIGINT) AS mass
		FROM result_draws d JOIN results t ON t.batch = d.batch AND t.number = d.number
		WHERE t.undone_at IS NULL GROUP BY d.batch, d.spool, d.mass_each) d
	WHERE d.mass <> (d.mass_each * d.strings + 500000) / 1000000
	ORDER BY d.batch, d.spool`,

	`SELECT 'the draws of a result are movements of its spools' AS invariant, d.batch AS subject,
		'result ' || d.number || ' took ' || d.mass || ' mg of spool ' || d.spool || ', movement ' || d.movement || ' is a '
			|| coalesce(m.kind, 'nothing') || ' of ' || coalesce(m.mass, 0) || ' mg on ' || coalesce(m.spool, 'no spool') AS detail
	FROM result_draws d LEFT JOIN movements m ON m.id = d.movement
	WHERE m.id IS NULL OR m.kind <> 'draw' OR m.spool <> d.spool OR m.mass <> -d.mass OR m.source <> 'batch ' || d.batch
	ORDER BY d.batch, d.number, d.spool`,

	`SELECT 'the movements of an undone result are reversed, and no others' AS invariant, d.batch AS subject,
		'result ' || d.number || ' is ' || CASE WHEN t.undone_at IS NULL THEN 'standing' ELSE 'undone' END
			|| ' and movement ' || d.movement || ' is ' || CASE WHEN m.id IS NULL THEN 'not reversed' ELSE 'reversed' END AS detail
	FROM result_draws d
	JOIN results t ON t.batch = d.batch AND t.number = d.number
	LEFT JOIN movements m ON m.reverses = d.movement
	WHERE (t.undone_at IS NULL) = (m.id IS NOT NULL)
	ORDER BY d.batch, d.number, d.spool`,

	`SELECT 'every good string went somewhere' AS invariant, t.batch AS subject,
		'result ' || t.number || ' has ' || t.good || ' good, gave ' || coalesce(g.strings, 0) AS detail
	FROM results t
	LEFT JOIN (SELECT batch, number, sum(strings) AS strings FROM result_strings GROUP BY batch, number) g
		ON g.batch = t.batch AND g.number = t.number
	WHERE t.good <> coalesce(g.strings, 0)
	ORDER BY t.batch, t.number`,

	`SELECT 'no more good strings than were ordered' AS invariant, g.order_code AS subject,
		'line ' || g.line || ' position ' || g.position || ' has ' || g.strings || ' of ' || coalesce(l.quantity, 0) AS detail
	FROM (` + goodByString + `) g
	LEFT JOIN order_lines l ON l.order_code = g.order_code AND l.number = g.line
	WHERE g.strings > coalesce(l.quantity, 0)
	ORDER BY g.order_code, g.line, g.position`,

	`SELECT 'no more finished strings are given than a result has to spare' AS invariant, f.batch AS subject,
		'result ' || f.result || ' part ' || f.part || ' gave ' || f.strings || ', has to spare ' || coalesce(s.strings, 0) AS detail
	FROM (SELECT batch, result, part, sum(strings) AS strings FROM finished_given GROUP BY batch, result, part) f
	LEFT JOIN (SELECT g.batch, g.number, g.part, g.strings
		FROM result_strings g JOIN results t ON t.batch = g.batch AND t.number = g.number
		LEFT JOIN orders o ON o.code = g.order_code
		WHERE t.undone_at IS NULL AND (g.order_code IS NULL OR o.status = 'cancelled')) s
		ON s.batch = f.batch AND s.number = f.result AND s.part = f.part
	WHERE f.strings > coalesce(s.strings, 0)
	ORDER BY f.batch, f.result, f.part`,

	`SELECT 'finished strings are given to an order that is not cancelled, for strings of their recipe and scale' AS invariant, f.order_code AS subject,
		'line ' || f.line || ' position ' || f.position || ', ' || coalesce(o.status, 'gone') || ', has ' || f.strings || ' of batch ' || f.batch AS detail
	FROM finished_given f
	LEFT JOIN orders o ON o.code = f.order_code
	LEFT JOIN batches b ON b.code = f.batch
	LEFT JOIN order_strings s ON s.order_code = f.order_code AND s.line = f.line AND s.position = f.position
	WHERE o.code IS NULL OR o.status IN ('draft', 'cancelled') OR b.code IS NULL OR s.recipe IS NULL OR s.recipe <> b.recipe OR s.scale <> b.scale
	ORDER BY f.order_code, f.line, f.position, f.batch`,

	`SELECT 'a batch gives an order no more strings than it serves' AS invariant, g.batch AS subject,
		'order ' || g.order_code || ' line ' || g.line || ' position ' || g.position || ' has ' || g.strings || ' of ' || coalesce(v.strings, 0) AS detail
	FROM (SELECT g.batch, g.order_code, g.line, g.position, sum(g.strings) AS strings
		FROM result_strings g JOIN results t ON t.batch = g.batch AND t.number = g.number
		WHERE t.undone_at IS NULL AND g.order_code IS NOT NULL
		GROUP BY g.batch, g.order_code, g.line, g.position) g
	LEFT JOIN batch_serves v ON v.batch = g.batch AND v.order_code = g.order_code AND v.line = g.line AND v.position = g.position
	WHERE g.strings > coalesce(v.strings, 0)
	ORDER BY g.batch, g.order_code, g.line, g.position`,

	`SELECT 'an order that is wound, packed or shipped is whole, or says why not' AS invariant, o.code AS subject,
		'it is ' || o.status || ' with ' || coalesce(g.strings, 0) || ' strings of ' || s.strings AS detail
	FROM orders o
	JOIN (SELECT s.order_code, sum(l.quantity) AS strings
		FROM order_strings s JOIN order_lines l ON l.order_code = s.order_code AND l.number = s.line GROUP BY s.order_code) s ON s.order_code = o.code
	LEFT JOIN (SELECT order_code, sum(strings) AS strings FROM (` + goodByString + `) g GROUP BY order_code) g ON g.order_code = o.code
	WHERE o.status IN ('wound', 'packed', 'shipped') AND o.short_reason = '' AND coalesce(g.strings, 0) <> s.strings
	ORDER BY o.code`,

	`SELECT 'every wound string of a shipped order traces to its spools and lots' AS invariant, g.order_code AS subject,
		'line ' || g.line || ' position ' || g.position || ' of batch ' || g.batch || ' result ' || g.number || ' has no spool of ' || w.wire AS detail
	FROM (SELECT order_code, line, position, batch, number FROM result_strings
		UNION SELECT order_code, line, position, batch, result FROM finished_given) g
	JOIN results t ON t.batch = g.batch AND t.number = g.number
	JOIN orders o ON o.code = g.order_code
	JOIN (SELECT DISTINCT batch, wire FROM batch_draws) w ON w.batch = g.batch
	LEFT JOIN (SELECT DISTINCT d.batch, d.number, d.wire FROM result_draws d JOIN spools s ON s.code = d.spool AND s.wire = d.wire) d
		ON d.batch = g.batch AND d.number = g.number AND d.wire = w.wire
	WHERE o.status = 'shipped' AND t.undone_at IS NULL AND d.batch IS NULL
	ORDER BY g.order_code, g.line, g.position, g.batch, w.wire`,

	`SELECT 'the sums kept of a recipe are those of its results' AS invariant, coalesce(k.recipe, s.recipe) AS subject,
		'kept ' || coalesce(k.good, 0) || ' good and ' || coalesce(k.scrapped, 0) || ' scrapped, results sum to ' || coalesce(s.good, 0) || ' and ' || coalesce(s.scrapped, 0) AS detail
	FROM recipes r
	LEFT JOIN recipe_results k ON k.recipe = r.code
	LEFT JOIN (SELECT b.recipe, sum(t.good) AS good, sum(t.scrapped) AS scrapped
		FROM results t JOIN batches b ON b.code = t.batch WHERE t.undone_at IS NULL GROUP BY b.recipe) s ON s.recipe = r.code
	WHERE coalesce(k.good, 0) <> coalesce(s.good, 0) OR coalesce(k.scrapped, 0) <> coalesce(s.scrapped, 0)
	ORDER BY r.code`,
}

// goodByString counts the good strings of each string of an order: wound for it, or given out of finished stock.
const goodByString = `SELECT order_code, line, position, sum(strings) AS strings FROM (
		SELECT g.order_code, g.line, g.position, g.strings
		FROM result_strings g JOIN results t ON t.batch = g.batch AND t.number = g.number
		WHERE t.undone_at IS NULL AND g.order_code IS NOT NULL
		UNION ALL
		SELECT order_code, line, position, strings FROM finished_given) g
	GROUP BY order_code, line, position`
