// Package password keeps passwords as argon2id hashes, compares them without telling by the time taken who exists, bounds
// the memory that this takes whatever is asked at once, and refuses passwords that are guessed first.
package password

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"errors"

	"golang.org/x/crypto/argon2"
	"golang.org/x/text/unicode/norm"
)

// ErrCrowded says that too many passwords are being worked out at once.
var ErrCrowded = errors.New("too many people sign in at once; try again in a moment")

// Two keys are worked out at a time, 128 MiB at the standard cost; as many as can wait a few seconds wait their turn, and the rest
// is refused.
var (
	slots = make(chan struct{}, 2)
	line  = make(chan struct{}, 24)
)

// Hash gives a password as it is kept, with a salt of its own.
func (c Cost) Hash(ctx context.Context, password string) (string, error) {
	h := hash{Cost: c, salt: make([]byte, saltLength)}
	if _, err := rand.Read(h.salt); err != nil {
		return "", err
	}
	var err error
	if h.key, err = h.work(ctx, password, keyLength); err != nil {
		return "", err
	}
	return h.String(), nil
}

// Matches says whether a password is the one that is kept.
func Matches(ctx context.Context, kept, password string) (bool, error) {
	h, err := parse(kept)
	if err != nil {
		return false, err
	}
	key, err := h.work(ctx, password, len(h.key))
	if err != nil {
		return false, err
	}
	return subtle.ConstantTimeCompare(key, h.key) == 1, nil
}

// Spend takes as long as Matches does, for a name that nobody has.
func (c Cost) Spend(ctx context.Context, password string) error {
	_, err := hash{Cost: c, salt: make([]byte, saltLength)}.work(ctx, password, keyLength)
	return err
}

// Outdated says whether a kept hash was made at another cost, and should be made anew when its password is next known.
func (c Cost) Outdated(kept string) bool {
	h, err := parse(kept)
	return err != nil || h.Cost != c || len(h.salt) != saltLength || len(h.key) != keyLength
}

// work works out a key when there is room for it.
func (h hash) work(ctx context.Context, password string, length int) ([]byte, error) {
	select {
	case line <- struct{}{}:
		defer func() { <-line }()
	default:
		return nil, ErrCrowded
	}
	select {
	case slots <- struct{}{}:
		defer func() { <-slots }()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	return argon2.IDKey([]byte(prepared(password)), h.salt, h.Time, h.Memory, h.Lanes, uint32(length)), nil
}

// prepared gives a password in Unicode's composed form, so that it is the same on every keyboard (RFC 8265, section 4.2.2, read in a
// copy).
func prepared(password string) string { return norm.NFC.String(password) }
