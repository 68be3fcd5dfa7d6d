package store

import (
	"time"

	"windingroom/internal/workshop"
)

// Session gives the session of a token by the token's hash.
func (r *reader) Session(hash []byte) (workshop.Session, error) {
	e, err := one[workshop.Session](r, "SELECT * FROM sessions WHERE hash = ?", hash)
	return inUTC(e), err
}

// SessionsOf gives a person's sessions, the newest first.
func (r *reader) SessionsOf(key string) ([]workshop.Session, error) {
	all, err := list[workshop.Session](r, "SELECT * FROM sessions WHERE person = ? ORDER BY began_at DESC, hash", key)
	for i := range all {
		all[i] = inUTC(all[i])
	}
	return all, err
}

func inUTC(e workshop.Session) workshop.Session {
	e.BeganAt, e.SeenAt, e.EndsAt = e.BeganAt.UTC(), e.SeenAt.UTC(), e.EndsAt.UTC()
	return e
}

// AddSession begins a session. The hash does not come first, since GORM takes a list apart that stands right behind a parenthesis.
func (t *tx) AddSession(e workshop.Session) error {
	_, err := t.exec("INSERT INTO sessions (person, hash, began_at, seen_at, ends_at, address) VALUES (?, ?, ?, ?, ?, ?)",
		e.Person, e.Hash, instant(e.BeganAt), instant(e.SeenAt), instant(e.EndsAt), e.Address)
	return err
}

// SeeSession notes that a session was used.
func (t *tx) SeeSession(hash []byte, at time.Time) error {
	_, err := t.exec("UPDATE sessions SET seen_at = ? WHERE hash = ? AND seen_at < ?", instant(at), hash, instant(at))
	return err
}

// EndSession ends a session, if it is there.
func (t *tx) EndSession(hash []byte) error {
	_, err := t.exec("DELETE FROM sessions WHERE hash = ?", hash)
	return err
}

// EndSessionsOf ends all of a person's and says how many.
func (t *tx) EndSessionsOf(key string) (int, error) {
	n, err := t.exec("DELETE FROM sessions WHERE person = ?", key)
	return int(n), err
}

// DropSessions forgets those that ended by themselves.
func (t *tx) DropSessions(ended, seen time.Time) (int, error) {
	n, err := t.exec("DELETE FROM sessions WHERE ends_at <= ? OR seen_at <= ?", instant(ended), instant(seen))
	return int(n), err
}
