package store

import (
	"errors"
	"time"

	"windingroom/internal/workshop"
)

// memberRow is a person as the table has them; an empty time is NULL.
type memberRow struct {
	workshop.Member
	OffAt *time.Time
}

func (r memberRow) member() workshop.Member {
	m := r.Member
	m.AddedAt, m.OffAt = m.AddedAt.UTC(), since(r.OffAt)
	return m
}

// since gives a time that may be NULL, and optional the way back.
func since(t *time.Time) time.Time {
	if t == nil {
		return time.Time{}
	}
	return t.UTC()
}

func optional(t time.Time) any {
	if t.IsZero() {
		return nil
	}
	return instant(t)
}

// Member gives a person by the key of their name.
func (r *reader) Member(key string) (workshop.Member, error) {
	row, err := one[memberRow](r, "SELECT * FROM people WHERE key = ?", key)
	return row.member(), named("person", key, err)
}

// Members gives everyone, also who is off.
func (r *reader) Members() ([]workshop.Member, error) {
	rows, err := list[memberRow](r, "SELECT * FROM people ORDER BY key")
	members := make([]workshop.Member, len(rows))
	for i, row := range rows {
		members[i] = row.member()
	}
	return members, err
}

// AddMember adds a person; workshop.ErrExists says that the name is taken, be it by someone who is off.
func (t *tx) AddMember(m workshop.Member) error {
	switch _, err := t.Member(m.Key); {
	case err == nil:
		return named("person", m.Name, workshop.ErrExists)
	case !errors.Is(err, workshop.ErrNotFound):
		return err
	}
	_, err := t.exec("INSERT INTO people (key, name, role, password, added_at, off_at) VALUES (?, ?, ?, ?, ?, ?)",
		m.Key, m.Name, m.Role, m.Password, instant(m.AddedAt), optional(m.OffAt))
	return err
}

// SaveMember changes what may change of a person.
func (t *tx) SaveMember(m workshop.Member) error {
	_, err := t.exec("UPDATE people SET role = ?, password = ?, off_at = ? WHERE key = ?", m.Role, m.Password, optional(m.OffAt), m.Key)
	return err
}

// Tries gives the failed tries about a subject.
func (r *reader) Tries(subject []byte) (workshop.Tries, error) {
	return one[workshop.Tries](r, "SELECT * FROM tries WHERE subject = ?", subject)
}

// SaveTries keeps them in the place of those before.
func (t *tx) SaveTries(of workshop.Tries) error {
	_, err := t.exec(`INSERT INTO tries (last_at, subject, forgotten_at) VALUES (?, ?, ?)
		ON CONFLICT (subject) DO UPDATE SET last_at = excluded.last_at, forgotten_at = excluded.forgotten_at`,
		instant(of.LastAt), of.Subject, instant(of.ForgottenAt))
	return err
}

// ForgetTries forgets all of them about a subject.
func (t *tx) ForgetTries(subject []byte) error {
	_, err := t.exec("DELETE FROM tries WHERE subject = ?", subject)
	return err
}

// DropTries forgets those that no longer count.
func (t *tx) DropTries(by time.Time) (int, error) {
	n, err := t.exec("DELETE FROM tries WHERE forgotten_at <= ?", instant(by))
	return int(n), err
}
