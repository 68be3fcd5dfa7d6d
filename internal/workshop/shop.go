package workshop

import (
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/password"
	"windingroom/internal/promise"
)

// Shop is one winding room with its books. It is safe for use by many people at once.
type Shop struct {
	Store Store
	Name  string            // on sheets and pages
	Now   func() time.Time  // the clock
	Zone  *time.Location    // the shop's; decides which day it is
	Days  calendar.ShopDays // on which the shop works; looking ahead skips the others
	Opens time.Duration     // after midnight in the zone: when the machines' day begins, the zero of a plan's times

	Passwords  password.Cost // of keeping one; the zero value is the standard
	BooksSetup BooksSetup    // how the books are written

	memo     promise.Memo // days looked at and promises found, by what they were found from
	openings openings     // of months that were looked at
	verified verified     // what Verify last found for the pages
}

// Today gives the shop's present day.
func (s *Shop) Today() calendar.Date { return calendar.Of(s.Now().In(s.Zone)) }

// audit makes the entry for what a person did now.
func (s *Shop) audit(p Person, action, subject, detail string) AuditEntry {
	return AuditEntry{At: s.Now().UTC(), Person: p.Name, Action: action, Subject: subject, Detail: detail, Source: p.Via}
}
