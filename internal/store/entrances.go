package store

import (
	"errors"
	"time"

	"windingroom/internal/workshop"
)

type answerRow struct {
	workshop.KeptAnswer `gorm:"embedded"`
}

func (answerRow) TableName() string { return "answers" }

type tokenRow struct {
	workshop.Token
	UsedAt, RevokedAt *time.Time
}

func (r tokenRow) token() workshop.Token {
	k := r.Token
	k.CreatedAt, k.UsedAt, k.RevokedAt = k.CreatedAt.UTC(), since(r.UsedAt), since(r.RevokedAt)
	return k
}

// Answer gives the answer that was kept under an idempotency key.
func (r *reader) Answer(key string) (workshop.KeptAnswer, error) {
	a, err := one[workshop.KeptAnswer](r, "SELECT * FROM answers WHERE key = ?", key)
	a.At = a.At.UTC()
	return a, err
}

// KeepAnswer keeps an answer; workshop.ErrExists says that the key has one.
func (t *tx) KeepAnswer(a workshop.KeptAnswer) error {
	a.At = instant(a.At)
	if a.Body == nil {
		a.Body = []byte{} // an empty answer is an answer
	}
	return translate(t.db.Create(&answerRow{a}).Error)
}

// Token finds a token that is not revoked by its hash.
func (r *reader) Token(hash []byte) (workshop.Token, error) {
	row, err := one[tokenRow](r, "SELECT * FROM tokens WHERE hash = ? AND revoked_at IS NULL", hash)
	return row.token(), err
}

// Tokens gives all tokens, also those that are revoked.
func (r *reader) Tokens() ([]workshop.Token, error) {
	rows, err := list[tokenRow](r, "SELECT * FROM tokens ORDER BY lower(name)")
	tokens := make([]workshop.Token, len(rows))
	for i, row := range rows {
		tokens[i] = row.token()
	}
	return tokens, err
}

// AddToken adds a token; workshop.ErrExists says that its name is taken, be it by a revoked one.
func (t *tx) AddToken(k workshop.Token) error {
	_, err := one[string](&t.reader, "SELECT name FROM tokens WHERE lower(name) = lower(?)", k.Name)
	switch {
	case err == nil:
		return named("token", k.Name, workshop.ErrExists)
	case !errors.Is(err, workshop.ErrNotFound):
		return err
	}
	_, err = t.exec("INSERT INTO tokens (name, hash, role, created_at) VALUES (?, ?, ?, ?)", k.Name, k.Hash, k.Role, instant(k.CreatedAt))
	return err
}

// UseToken notes that a token was used.
func (t *tx) UseToken(name string, at time.Time) error {
	_, err := t.exec("UPDATE tokens SET used_at = ? WHERE name = ?", instant(at), name)
	return err
}

// RevokeToken ends a token; workshop.ErrNotFound says that none of that name holds.
func (t *tx) RevokeToken(name string, at time.Time) error {
	n, err := t.exec("UPDATE tokens SET revoked_at = ? WHERE lower(name) = lower(?) AND revoked_at IS NULL", instant(at), name)
	if err == nil && n == 0 {
		err = workshop.ErrNotFound
	}
	return named("token", name, err)
}
