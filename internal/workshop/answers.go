package workshop

import (
	"context"
	"fmt"
	"strings"
)

// KeptAnswer gives what the acting person was answered under an idempotency key; ErrNotFound when nothing was.
func (s *Shop) KeptAnswer(ctx context.Context, key string) (KeptAnswer, error) {
	p, err := allow(ctx, "repeating a request", Roles()...)
	if err != nil {
		return KeptAnswer{}, err
	}
	var kept KeptAnswer
	err = s.Store.Read(ctx, func(r Reader) (err error) {
		kept, err = r.Answer(ownKey(p, key))
		return err
	})
	return kept, err
}

// KeepAnswer keeps what the acting person was answered under an idempotency key; ErrExists when something already is. It is a
// transaction of its own: a use case whose answer was lost in between runs again when the request is repeated, and must then
// be harmless by itself, as a release or a movement with a key is.
func (s *Shop) KeepAnswer(ctx context.Context, a KeptAnswer) error {
	p, err := allow(ctx, "keeping an answer", Roles()...)
	if err != nil {
		return err
	}
	kept := a
	kept.Key, kept.At = ownKey(p, a.Key), s.Now().UTC()
	return s.Store.InTx(ctx, func(tx Tx) error {
		if err := tx.KeepAnswer(kept); err != nil {
			return fmt.Errorf("the answer to key %s: %w", a.Key, err)
		}
		return nil
	})
}

// fits says what is wrong with a key, if anything.
func fits(key string) error {
	const longest = 255
	if len(key) > longest || strings.ContainsFunc(key, func(c rune) bool { return c <= ' ' || c > '~' }) {
		return wrong("key", "must be 1 to %d visible characters of ASCII without spaces", longest)
	}
	return nil
}

// ownKey keeps people's keys apart: two people may choose the same one. A key holds no space, so no two pairs look alike.
func ownKey(p Person, key string) string { return p.Name + " " + key }
