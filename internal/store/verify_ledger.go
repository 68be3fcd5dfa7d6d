package store

// balanceChecks look at what is kept on the spools; balancesOff compares it with their movements.
var balanceChecks = []check{
	`SELECT 'an empty spool carries no cost' AS invariant, code AS subject, 'kept ' || value || ' minor units' AS detail
	FROM spools WHERE mass = 0 AND value <> 0
	ORDER BY code`,

	`SELECT 'a cost difference moves no mass and is settled at once' AS invariant, m.spool AS subject,
		'movement ' || m.id || ' of ' || m.mass || ' mg' AS detail
	FROM movements m LEFT JOIN movements u ON u.id = m.id + 1 AND u.spool = m.spool AND u.kind = 'cost difference of used wire' AND u.effective_at = m.effective_at
	WHERE m.kind = 'cost difference' AND (m.mass <> 0 OR u.id IS NULL)
	ORDER BY m.id`,

	`SELECT 'allocated wire is on hand' AS invariant, code AS subject,
		'allocated ' || allocated || ' mg of ' || mass || ' mg' AS detail
	FROM spools WHERE allocated > mass OR allocated < 0
	ORDER BY code`,

	`SELECT 'allocated wire is what released batches will draw' AS invariant, s.code AS subject,
		'allocated ' || s.allocated || ' mg, released batches still hold ' || coalesce(d.mass, 0) || ' mg' AS detail
	FROM spools s LEFT JOIN (SELECT d.spool, sum(d.allocated) AS mass
		FROM batch_draws d JOIN batches b ON b.code = d.batch
		WHERE b.status = 'released' GROUP BY d.spool) d ON d.spool = s.code
	WHERE s.allocated <> coalesce(d.mass, 0)
	ORDER BY s.code`,
}

// movementChecks look at single movements.
var movementChecks = []check{
	`SELECT 'the spool of every movement exists' AS invariant, m.spool AS subject, 'movement ' || m.id AS detail
	FROM movements m LEFT JOIN spools s ON s.code = m.spool
	WHERE s.code IS NULL
	ORDER BY m.id`,

	// Costs follow from the balance by cumulative rounding, so a reversal may differ from its original by one minor unit.
	`SELECT 'a reversal mirrors the movement it reverses' AS invariant, m.spool AS subject,
		'movement ' || m.id || ' of ' || m.mass || ' mg and ' || m.cost || ' reverses '
		|| coalesce('movement ' || o.id || ' of spool ' || o.spool || ', ' || o.mass || ' mg and ' || o.cost, 'nothing') AS detail
	FROM movements m LEFT JOIN movements o ON o.id = m.reverses
	WHERE (m.reverses IS NOT NULL OR m.kind = 'reversal')
		AND (o.id IS NULL OR m.kind <> 'reversal' OR o.id >= m.id OR o.spool <> m.spool OR o.mass <> -m.mass
			OR abs(o.cost + m.cost) > 1)
	ORDER BY m.id`,

	`SELECT 'nothing is reversed twice' AS invariant, 'movement ' || reverses AS subject, count(*) || ' reversals' AS detail
	FROM movements WHERE reverses IS NOT NULL
	GROUP BY reverses HAVING count(*) > 1
	ORDER BY reverses`,

	`SELECT 'one key posts once' AS invariant, key AS subject, count(*) || ' movements' AS detail
	FROM movements WHERE key IS NOT NULL
	GROUP BY key HAVING count(*) > 1
	ORDER BY key`,

	// A month is closed by its own closing or by that of a later one.
	`SELECT 'a closed month accepts no movement' AS invariant, substr(m.effective_on, 1, 7) AS subject,
		'movement ' || m.id || ' of spool ' || m.spool || ' was posted after the month was closed' AS detail
	FROM movements m
	WHERE m.posted_at > (SELECT min(closed_at) FROM periods)
		AND substr(m.effective_on, 1, 7) <= (SELECT max(month) FROM periods)
		AND m.posted_at > (SELECT min(closed_at) FROM periods WHERE month >= substr(m.effective_on, 1, 7))
	ORDER BY m.id`,
}

// bookChecks add the books up once more, per wire and month, from kinds on one side and from balances on the other. A
// reversal counts as the kind it reverses.
var bookChecks = []check{`
	WITH moved AS (
		SELECT s.wire, substr(m.effective_on, 1, 7) AS month, coalesce(o.kind, m.kind) AS kind,
			sum(m.mass) AS mass, sum(m.cost) AS cost
		FROM movements m JOIN spools s ON s.code = m.spool LEFT JOIN movements o ON o.id = m.reverses
		GROUP BY s.wire, substr(m.effective_on, 1, 7), coalesce(o.kind, m.kind)
	), flows AS MATERIALIZED (
		SELECT wire, month, sum(mass) AS mass, sum(cost) AS cost,
			sum(CASE WHEN kind IN ('receipt', 'return to supplier', 'draw', 'scrap', 'write-off',
				'weigh-back difference', 'count difference', 'cost difference', 'cost difference of used wire') THEN mass ELSE 0 END) AS flow,
			sum(CASE WHEN kind IN ('receipt', 'return to supplier', 'draw', 'scrap', 'write-off',
				'weigh-back difference', 'count difference', 'cost difference', 'cost difference of used wire') THEN cost ELSE 0 END) AS flow_cost
		FROM moved GROUP BY wire, month
	), books AS (
		SELECT wire, month, flow, flow_cost, sum(mass) OVER until AS closing, sum(cost) OVER until AS closing_cost,
			coalesce(sum(mass) OVER before, 0) AS opening, coalesce(sum(cost) OVER before, 0) AS opening_cost
		FROM flows
		WINDOW until AS (PARTITION BY wire ORDER BY month ROWS UNBOUNDED PRECEDING),
			before AS (PARTITION BY wire ORDER BY month ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING)
	), kept AS (
		SELECT wire, sum(mass) AS mass, sum(value) AS cost FROM spools GROUP BY wire
	), closed AS (
		SELECT wire, sum(mass) AS mass, sum(cost) AS cost FROM flows GROUP BY wire
	)
	SELECT 'opening and what moved give the closing stock of a month' AS invariant, wire || ' ' || month AS subject,
		'opening ' || opening || ' mg, moved ' || flow || ' mg, closing ' || closing || ' mg; at cost '
		|| opening_cost || ', ' || flow_cost || ', ' || closing_cost AS detail
	FROM books WHERE opening + flow <> closing OR opening_cost + flow_cost <> closing_cost
	UNION ALL
	SELECT 'the closing stock of a wire is what its spools hold' AS invariant, k.wire AS subject,
		'closing ' || coalesce(c.mass, 0) || ' mg at ' || coalesce(c.cost, 0) || ', spools hold ' || k.mass || ' mg at ' || k.cost AS detail
	FROM kept k LEFT JOIN closed c ON c.wire = k.wire
	WHERE k.mass <> coalesce(c.mass, 0) OR k.cost <> coalesce(c.cost, 0)`,
}
