package workshop

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"

	"windingroom/internal/password"
)

// Credentials are what somebody signs in with.
type Credentials struct {
	Name     string
	Password string
	Address  string // from where
	Via      string // the door, for the audit
}

// SignIn begins a session and gives its token, of which only the hash is kept. ErrSignIn says that name and password are not those
// of a person who may come in, and takes the same time whichever is wrong; Slowed that there were too many tries.
func (s *Shop) SignIn(ctx context.Context, c Credentials) (token string, p Person, err error) {
	if err := s.claimTry(ctx, c); err != nil {
		return "", Person{}, err
	}
	m, err := s.checkPassword(ctx, c)
	if err != nil {
		return "", Person{}, err
	}
	renewed := m.Password
	if cost := s.passwordCost(); cost.Outdated(m.Password) {
		if renewed, err = cost.Hash(ctx, c.Password); err != nil {
			return "", Person{}, err
		}
	}
	p = Person{Name: m.Name, Role: m.Role, Via: c.Via}
	token = newSecret()
	err = s.Store.InTx(ctx, func(tx Tx) error {
		now, err := tx.Member(m.Key)
		if err != nil {
			return err
		}
		if now.Off() || now.Password != m.Password { // changed while it was compared
			return ErrSignIn
		}
		now.Password = renewed
		if err := tx.SaveMember(now); err != nil {
			return err
		}
		p.Role = now.Role
		if err := forgiveTry(tx, c); err != nil {
			return err
		}
		if err := tx.AddSession(s.newSession(m.Key, token, c.Address)); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "sign in", m.Name, "from "+c.Address))
	})
	if err != nil {
		return "", Person{}, err
	}
	return token, p, nil
}

// checkPassword gives the person whose name and password these are, or ErrSignIn.
func (s *Shop) checkPassword(ctx context.Context, c Credentials) (Member, error) {
	if len(c.Password) > 4*password.Longest { // in bytes: longer than any that is kept
		return Member{}, ErrSignIn
	}
	var m Member
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		m, err = r.Member(MemberKey(c.Name))
		return err
	})
	if errors.Is(err, ErrNotFound) {
		if err := s.passwordCost().Spend(ctx, c.Password); err != nil {
			return Member{}, err
		}
		return Member{}, ErrSignIn
	}
	if err != nil {
		return Member{}, err
	}
	ok, err := password.Matches(ctx, m.Password, c.Password)
	switch {
	case err != nil:
		return Member{}, err
	case !ok || m.Off():
		return Member{}, ErrSignIn
	}
	return m, nil
}

// ChangeOwnPassword gives the acting person a new password, ends their sessions on every browser and gives the token of a new one. The
// present password is asked for, so that nobody does it at a browser that was left open; ErrSignIn says that it is wrong.
func (s *Shop) ChangeOwnPassword(ctx context.Context, present, secret, address string) (token string, err error) {
	p, err := allow(ctx, "changing one's password", Roles()...)
	if err != nil {
		return "", err
	}
	c := Credentials{Name: p.Name, Password: present, Address: address, Via: p.Via}
	if err := s.claimTry(ctx, c); err != nil {
		return "", err
	}
	was, err := s.checkPassword(ctx, c)
	if err != nil {
		return "", err
	}
	hash, err := s.newPassword(ctx, p.Name, secret)
	if err != nil {
		return "", err
	}
	token = newSecret()
	err = s.Store.InTx(ctx, func(tx Tx) error {
		m, err := tx.Member(was.Key)
		if err != nil {
			return err
		}
		if m.Password != was.Password || m.Off() {
			return ErrChanged
		}
		m.Password = hash
		ended, err := tx.EndSessionsOf(m.Key)
		if err != nil {
			return err
		}
		if err := errors.Join(tx.SaveMember(m), forgiveTry(tx, c), tx.AddSession(s.newSession(m.Key, token, address))); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "change password", m.Name, fmt.Sprintf("%d sessions ended", ended)))
	})
	if err != nil {
		return "", err
	}
	return token, nil
}

// newSecret gives 256 random bits as text.
func newSecret() string {
	secret := make([]byte, 32)
	_, _ = rand.Read(secret) // never fails: the program ends where there is no randomness
	return base64.RawURLEncoding.EncodeToString(secret)
}

// ignore drops an error of one kind.
func ignore(err, kind error) error {
	if errors.Is(err, kind) {
		return nil
	}
	return err
}
