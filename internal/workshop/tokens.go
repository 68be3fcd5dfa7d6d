package workshop

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"strings"
)

// AddToken makes a bearer token that acts as name with a role, and gives it once: only its hash is kept. Only an owner may.
func (s *Shop) AddToken(ctx context.Context, name string, role Role) (string, error) {
	p, err := allow(ctx, "making a token", Owner)
	if err != nil {
		return "", err
	}
	if name = strings.TrimSpace(name); name == "" || len(name) > 64 {
		return "", errors.New("a token needs a name of 1 to 64 characters")
	}
	secret := make([]byte, 32)
	if _, err := rand.Read(secret); err != nil {
		return "", err
	}
	token := "wr_" + base64.RawURLEncoding.EncodeToString(secret)
	err = s.Store.InTx(ctx, func(tx Tx) error {
		err := tx.AddToken(Token{Name: name, Hash: hashToken(token), Role: role, CreatedAt: s.Now().UTC()})
		if err != nil {
			return err
		}
		return tx.Record(s.audit(p, "add token", name, "role "+string(role)))
	})
	if err != nil {
		return "", err
	}
	return token, nil
}

// Bearer gives the person whom a bearer token stands for; ErrUnknownPerson when it stands for nobody.
func (s *Shop) Bearer(ctx context.Context, token string) (Person, error) {
	var found Token
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		found, err = r.Token(hashToken(token))
		return err
	})
	if errors.Is(err, ErrNotFound) {
		return Person{}, ErrUnknownPerson
	}
	return Person{Name: found.Name, Role: found.Role}, err
}

// hashToken needs no salt or slowness: a token has 256 random bits, so there is nothing to guess.
func hashToken(token string) []byte {
	sum := sha256.Sum256([]byte(token))
	return sum[:]
}
