package store

import (
	"fmt"

	"windingroom/internal/workshop"
)

// periodChecks look at closed months and their history.
var periodChecks = []check{
	`SELECT 'a closed month stands in the history as closed' AS invariant, p.month AS subject,
		'its last act is ' || coalesce(c.act, 'missing') || ' with figures ' || coalesce(c.figures_hash, '') AS detail
	FROM periods p LEFT JOIN closings c ON c.number = (SELECT max(number) FROM closings WHERE month = p.month)
	WHERE c.number IS NULL OR c.act <> 'closed' OR c.figures_hash <> p.figures_hash
	UNION ALL
	SELECT 'a closed month stands in the history as closed' AS invariant, c.month AS subject, 'closed, and the month is open' AS detail
	FROM closings c
	WHERE c.act = 'closed' AND c.number = (SELECT max(number) FROM closings WHERE month = c.month)
		AND NOT EXISTS (SELECT 1 FROM periods WHERE month = c.month)`,
}

const asClosed = "a closed month is as it was closed"

// replayed compares closed months with what the ledger makes of them now, in one reading of the ledger.
func (r *reader) replayed() (broken []workshop.Discrepancy, err error) {
	closed, err := r.Periods()
	if err != nil || len(closed) == 0 {
		return nil, err
	}
	months, err := workshop.Replay(r, closed[0].Month, closed[len(closed)-1].Month)
	if err != nil {
		if translate(err) != err {
			return nil, err
		}
		return []workshop.Discrepancy{{Invariant: asClosed, Subject: closed[0].Month.String(), Detail: "the ledger cannot be read for the books: " + err.Error()}}, nil
	}
	for _, p := range closed {
		switch now := months[p.Month-closed[0].Month]; {
		case now.Figures != p.Figures:
			broken = append(broken, workshop.Discrepancy{Invariant: asClosed, Subject: p.Month.String(), Detail: "its figures are not those that were kept"})
		case now.Hash != p.Hash:
			broken = append(broken, workshop.Discrepancy{Invariant: asClosed, Subject: p.Month.String(),
				Detail: fmt.Sprintf("its movements hash to %.12s…, closed with %.12s…", now.Hash, p.Hash)})
		}
	}
	return broken, nil
}
