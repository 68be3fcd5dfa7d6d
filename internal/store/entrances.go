package store

import (
	"errors"

	"windingroom/internal/workshop"
)

type answerRow struct {
	workshop.KeptAnswer `gorm:"embedded"`
}

func (answerRow) TableName() string { return "answers" }

type tokenRow struct {
	workshop.Token `gorm:"embedded"`
}

func (tokenRow) TableName() string { return "tokens" }

type auditRow struct {
	workshop.AuditEntry `gorm:"embedded"`
}

func (auditRow) TableName() string { return "audit" }

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
	k, err := one[workshop.Token](r, "SELECT * FROM tokens WHERE hash = ? AND revoked_at IS NULL", hash)
	k.CreatedAt = k.CreatedAt.UTC()
	return k, err
}

// AddToken adds a token; workshop.ErrExists says that its name is taken, be it by a revoked one.
func (t *tx) AddToken(k workshop.Token) error {
	k.CreatedAt = instant(k.CreatedAt)
	_, err := one[string](&t.reader, "SELECT name FROM tokens WHERE lower(name) = lower(?)", k.Name)
	switch {
	case err == nil:
		return named("token", k.Name, workshop.ErrExists)
	case !errors.Is(err, workshop.ErrNotFound):
		return err
	}
	return translate(t.db.Create(&tokenRow{k}).Error)
}

// Record adds an entry to the audit.
func (t *tx) Record(e workshop.AuditEntry) error {
	e.At = instant(e.At)
	return translate(t.db.Create(&auditRow{e}).Error)
}
