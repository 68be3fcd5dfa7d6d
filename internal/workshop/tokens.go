package workshop

import (
	"context"
	"crypto/sha256"
	"errors"
	"strings"
	"time"
	"unicode"
)

// AddToken makes a bearer token that acts as name with a role, and gives it once: only its hash is kept. Only an owner may.
func (s *Shop) AddToken(ctx context.Context, name string, role Role) (string, error) {
	p, err := allow(ctx, "making a token", Owner)
	if err != nil {
		return "", err
	}
	if name = strings.TrimSpace(name); name == "" || len(name) > 64 || strings.ContainsFunc(name, unicode.IsControl) {
		return "", wrong("name", "is needed, of 1 to 64 characters")
	}
	if role, err = checkRole(role); err != nil {
		return "", err
	}
	token := "wr_" + newSecret()
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

// Tokens lists the bearer tokens, revoked ones too, by name; the hashes are left out. Only an owner may.
func (s *Shop) Tokens(ctx context.Context) (tokens []Token, err error) {
	if _, err := allow(ctx, "seeing the tokens", Owner); err != nil {
		return nil, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		tokens, err = r.Tokens()
		return err
	})
	for i := range tokens {
		tokens[i].Hash = nil
	}
	return tokens, err
}

// RevokeToken ends a bearer token at once and for good. Only an owner may.
func (s *Shop) RevokeToken(ctx context.Context, name string) error {
	p, err := allow(ctx, "revoking a token", Owner)
	if err != nil {
		return err
	}
	return s.Store.InTx(ctx, func(tx Tx) error {
		if err := tx.RevokeToken(name, s.Now().UTC()); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "revoke token", name, ""))
	})
}

// revokeOf revokes the tokens that act under a person's name and says how many.
func revokeOf(tx Tx, key string, now time.Time) (n int, err error) {
	tokens, err := tx.Tokens()
	if err != nil {
		return 0, err
	}
	for _, k := range tokens {
		if MemberKey(k.Name) != key || !k.RevokedAt.IsZero() {
			continue
		}
		if err := tx.RevokeToken(k.Name, now); err != nil {
			return n, err
		}
		n++
	}
	return n, nil
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
	if err != nil {
		return Person{}, err
	}
	if now := s.Now().UTC(); now.Sub(found.UsedAt) >= seenEvery {
		s.note(ctx, func(tx Tx) error { return tx.UseToken(found.Name, now) })
	}
	return Person{Name: found.Name, Role: found.Role, Via: "API"}, nil
}

// hashToken needs no salt or slowness: a token has 256 random bits, so there is nothing to guess.
func hashToken(token string) []byte {
	sum := sha256.Sum256([]byte(token))
	return sum[:]
}
