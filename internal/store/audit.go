package store

import (
	"windingroom/internal/workshop"
)

// Record adds an entry to the audit.
func (t *tx) Record(e workshop.AuditEntry) error {
	_, err := t.exec("INSERT INTO audit (at, person, action, subject, detail, source) VALUES (?, ?, ?, ?, ?, ?)",
		instant(e.At), e.Person, e.Action, e.Subject, e.Detail, e.Source)
	return err
}

// Audit gives entries, the newest first. Where it goes on is told by an entry and not by a number of rows, so that what is added
// meanwhile moves nothing, and the last page costs no more than the first.
func (r *reader) Audit(f workshop.AuditFilter) ([]workshop.AuditEntry, error) {
	query, args := "SELECT * FROM audit WHERE 1 = 1", []any{}
	and := func(condition string, values ...any) {
		query, args = query+" AND "+condition, append(args, values...)
	}
	if f.Person != "" {
		and("lower(person) = lower(?)", f.Person)
	}
	if f.Subject != "" {
		and("lower(subject) = lower(?)", f.Subject)
	}
	if !f.From.IsZero() {
		and("at >= ?", instant(f.From))
	}
	if !f.Until.IsZero() {
		and("at < ?", instant(f.Until))
	}
	if f.Before != 0 {
		and("(at, id) < (SELECT at, id FROM audit WHERE id = ?)", f.Before)
	}
	entries, err := list[workshop.AuditEntry](r, query+" ORDER BY at DESC, id DESC LIMIT ?", append(args, f.Most)...)
	for i := range entries {
		entries[i].At = entries[i].At.UTC()
	}
	return entries, err
}
