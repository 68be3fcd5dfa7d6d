package workshop

import (
	"sync"
	"time"

	"windingroom/internal/calendar"
)

// verified is what Verify last found for who looks at what closes next. It reads everything there is, so a look asks it anew only when
// something was done since; and while all was sound, only once in a while. Closing a month asks it in any case.
type verified struct {
	mu     sync.Mutex
	last   stateMark
	at     time.Time
	broken []Discrepancy
}

// stateMark changes with everything that anyone does: each use case that writes records it.
type stateMark struct {
	act    int64
	ledger LedgerMark
}

// verifiedFor is how long a clean bill holds for the pages while the shop goes on.
const verifiedFor = 10 * time.Minute

// look gives what is broken and when that was found.
func (v *verified) look(r Reader, now time.Time) ([]Discrepancy, time.Time, error) {
	mark, err := markOf(r)
	if err != nil {
		return nil, now, err
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	if sound := len(v.broken) == 0 && now.Sub(v.at) < verifiedFor; v.at.IsZero() || now.Before(v.at) || mark != v.last && !sound {
		broken, err := r.Discrepancies()
		if err != nil {
			return nil, now, err
		}
		v.last, v.at, v.broken = mark, now, broken
	}
	return v.broken, v.at, nil
}

func markOf(r Reader) (mark stateMark, err error) {
	acts, err := r.Audit(AuditFilter{Most: 1})
	if err != nil {
		return mark, err
	}
	for _, a := range acts {
		mark.act = a.ID
	}
	mark.ledger, err = r.LedgerMark(0, calendar.NewDate(9999, time.December, 31))
	return mark, err
}
