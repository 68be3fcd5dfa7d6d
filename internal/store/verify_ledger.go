package store

func ledgerChecks() []string {
	return []string{
		// Kept balances.
		`SELECT 'the mass kept on a spool is the sum of its movements' AS invariant, s.code AS subject,
			'kept ' || s.mass || ' mg, movements sum to ' || coalesce(m.mass, 0) || ' mg' AS detail
		FROM spools s LEFT JOIN (SELECT spool, sum(mass) AS mass FROM movements GROUP BY spool) m ON m.spool = s.code
		WHERE s.mass <> coalesce(m.mass, 0) ORDER BY s.code`,

		`SELECT 'the cost kept on a spool is the sum of its movements'' costs' AS invariant, s.code AS subject,
			'kept ' || s.value || ', movements sum to ' || coalesce(m.cost, 0) || ' minor units' AS detail
		FROM spools s LEFT JOIN (SELECT spool, sum(cost) AS cost FROM movements GROUP BY spool) m ON m.spool = s.code
		WHERE s.value <> coalesce(m.cost, 0) ORDER BY s.code`,
	}
}
