package store

import "windingroom/internal/workshop"

// Discrepancies runs every check; each is one statement that gives a row for each thing that breaks an invariant.
func (r *reader) Discrepancies() ([]workshop.Discrepancy, error) {
	var found []workshop.Discrepancy
	for _, check := range checks() {
		rows, err := list[workshop.Discrepancy](r, check)
		if err != nil {
			return nil, err
		}
		found = append(found, rows...)
	}
	return found, nil
}

// checks lists the statements that look for discrepancies.
func checks() []string { return append(ledgerChecks(), planChecks()...) }
