package workshop

import (
	"context"

	"windingroom/internal/calendar"
)

// AuditQuery asks for a part of the audit.
type AuditQuery struct {
	Person  string        // whole, without case as far as English letters go; empty: everyone
	Subject string        // whole, without case as far as English letters go; empty: everything
	Day     calendar.Date // in the shop's zone; zero: every day
	Before  int64         // older than this entry; 0: from the newest
	Most    int           // at least 1
}

// Audit gives what was done, the newest first, and whether there is more. Only an owner or a bookkeeper may.
func (s *Shop) Audit(ctx context.Context, q AuditQuery) (entries []AuditEntry, more bool, err error) {
	if _, err := allow(ctx, "seeing the audit", Bookkeeper); err != nil {
		return nil, false, err
	}
	f := AuditFilter{Person: q.Person, Subject: q.Subject, Before: q.Before, Most: q.Most + 1}
	if !q.Day.IsZero() {
		f.From, f.Until = q.Day.In(s.Zone).UTC(), (q.Day + 1).In(s.Zone).UTC()
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		entries, err = r.Audit(f)
		return err
	})
	if len(entries) > q.Most {
		return entries[:q.Most], true, err
	}
	return entries, false, err
}
