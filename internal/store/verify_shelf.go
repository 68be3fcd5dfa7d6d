package store

// shelfChecks look at weighings, deliveries and the state of spools.
var shelfChecks = []check{
	`SELECT 'a weighing posts what it differs by' AS invariant, m.spool AS subject,
		'movement ' || m.id || ' is a ' || m.kind || ' of ' || m.mass || ' mg, '
		|| coalesce('its weighing found ' || w.net || ' mg where the books said ' || w.book || ' mg', 'it has no weighing') AS detail
	FROM movements m LEFT JOIN weighings w ON w.movement = m.id
	WHERE m.kind IN ('weigh-back difference', 'count difference') AND (w.movement IS NULL OR w.net - w.book <> m.mass)
	UNION ALL
	SELECT 'a weighing posts what it differs by' AS invariant, 'weighing ' || w.movement AS subject,
		coalesce('its movement is a ' || m.kind, 'its movement is not there') AS detail
	FROM weighings w LEFT JOIN movements m ON m.id = w.movement
	WHERE m.id IS NULL OR m.kind NOT IN ('weigh-back difference', 'count difference')`,

	`SELECT 'the shares of a weighing sum to its difference' AS invariant, 'weighing ' || w.movement AS subject,
		'shares sum to ' || coalesce(s.mass, 0) || ' mg of ' || (w.net - w.book) || ' mg' AS detail
	FROM weighings w LEFT JOIN (SELECT movement, sum(mass) AS mass FROM weighing_shares GROUP BY movement) s ON s.movement = w.movement
	WHERE w.net - w.book <> coalesce(s.mass, 0)
	ORDER BY w.movement`,

	`SELECT 'noise is charged to no batch' AS invariant, 'weighing ' || w.movement AS subject,
		'charged to batch ' || s.batch || ': ' || s.mass || ' mg' AS detail
	FROM weighings w JOIN weighing_shares s ON s.movement = w.movement
	WHERE w.noise AND s.batch IS NOT NULL
	ORDER BY w.movement, s.number`,

	`SELECT 'a spool is available or quarantined' AS invariant, code AS subject, 'it is "' || state || '"' AS detail
	FROM spools WHERE state NOT IN ('available', 'quarantined')
	ORDER BY code`,

	`SELECT 'a quarantined spool is promised to nobody' AS invariant, code AS subject, 'allocated ' || allocated || ' mg' AS detail
	FROM spools WHERE state = 'quarantined' AND allocated <> 0
	ORDER BY code`,

	`SELECT 'a delivery costs what its spools cost' AS invariant, d.code AS subject,
		'cost ' || d.cost || ' and freight ' || d.freight || ', spools cost ' || coalesce(s.cost, 0) AS detail
	FROM deliveries d LEFT JOIN (SELECT delivery, sum(cost) AS cost FROM spools WHERE delivery IS NOT NULL GROUP BY delivery) s
		ON s.delivery = d.code
	WHERE d.cost + d.freight <> coalesce(s.cost, 0)
	ORDER BY d.code`,
}
