package store

import (
	"fmt"
	"slices"

	"windingroom/internal/workshop"
)

// check is one statement that gives invariant, subject and detail of everything that breaks an invariant. It is written so
// that both databases take it.
type check string

// mostOf bounds what one check reports: a ledger that is broken throughout is not better explained by a million lines.
const mostOf = 100

// Discrepancies re-adds the ledger from its movements and compares it with what is kept, and the plans with the facts they
// rest on.
func (r *reader) Discrepancies() ([]workshop.Discrepancy, error) {
	found, err := r.balancesOff()
	if err != nil {
		return nil, err
	}
	for _, c := range slices.Concat(balanceChecks, movementChecks, shelfChecks, bookChecks, planChecks, workChecks, calibrationChecks, buyingChecks, periodChecks) {
		rows, err := list[workshop.Discrepancy](r, fmt.Sprintf("SELECT * FROM (%s) broken LIMIT %d", c, mostOf))
		if err != nil {
			return nil, err
		}
		found = append(found, rows...)
		if len(rows) == mostOf {
			found = append(found, workshop.Discrepancy{Invariant: rows[0].Invariant, Subject: "more",
				Detail: fmt.Sprintf("only the first %d are listed", mostOf)})
		}
	}
	closed, err := r.replayed()
	return append(found, closed...), err
}
