package workshop

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// How long a session lasts: a working day at most, and less where nobody uses it. What it was last used is kept to a few minutes.
const (
	SessionLife = 14 * time.Hour
	SessionIdle = 4 * time.Hour
	seenEvery   = 5 * time.Minute
)

func (s *Shop) newSession(key, token, address string) Session {
	now := s.Now().UTC()
	return Session{Hash: hashToken(token), Person: key, BeganAt: now, SeenAt: now, EndsAt: now.Add(SessionLife), Address: address}
}

// over says that the session has ended by itself.
func (e Session) over(now time.Time) bool {
	return !now.Before(e.EndsAt) || now.Sub(e.SeenAt) >= SessionIdle
}

// PersonOf gives the person whose session a token is, with the role they have now; ErrUnknownPerson when it is nobody's, or no longer.
func (s *Shop) PersonOf(ctx context.Context, token, via string) (Person, error) {
	hash, now := hashToken(token), s.Now().UTC()
	var e Session
	var m Member
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		if e, err = r.Session(hash); err != nil {
			return err
		}
		m, err = r.Member(e.Person)
		return err
	})
	switch {
	case errors.Is(err, ErrNotFound), err == nil && (e.over(now) || m.Off()):
		return Person{}, ErrUnknownPerson
	case err != nil:
		return Person{}, err
	}
	if now.Sub(e.SeenAt) >= seenEvery {
		s.note(ctx, func(tx Tx) error { return tx.SeeSession(hash, now) })
	}
	return Person{Name: m.Name, Role: m.Role, Via: via}, nil
}

// mostForANote is how long a request waits for other writers only to note that a session or token was used.
const mostForANote = 100 * time.Millisecond

// note writes what may as well be noted the next time: a database that is busy, or cannot be written to, answers all the same.
func (s *Shop) note(ctx context.Context, fn func(Tx) error) {
	ctx, cancel := context.WithTimeout(ctx, mostForANote)
	defer cancel()
	_ = s.Store.InTx(ctx, fn)
}

// SignOut ends the session of a token.
func (s *Shop) SignOut(ctx context.Context, token string) error {
	p, known := Acting(ctx)
	return s.Store.InTx(ctx, func(tx Tx) error {
		if err := tx.EndSession(hashToken(token)); err != nil || !known {
			return err
		}
		return tx.Record(s.audit(p, "sign out", p.Name, ""))
	})
}

// SignOutEverywhere ends all sessions of the acting person and says how many there were.
func (s *Shop) SignOutEverywhere(ctx context.Context) (n int, err error) {
	p, err := allow(ctx, "signing out", Roles()...)
	if err != nil {
		return 0, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		if n, err = tx.EndSessionsOf(MemberKey(p.Name)); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "sign out everywhere", p.Name, fmt.Sprintf("%d sessions", n)))
	})
	return n, err
}

// OwnSessions gives the sessions of the acting person that go on, the newest first.
func (s *Shop) OwnSessions(ctx context.Context) (going []Session, err error) {
	p, err := allow(ctx, "seeing one's sessions", Roles()...)
	if err != nil {
		return nil, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		going = nil
		all, err := r.SessionsOf(MemberKey(p.Name))
		for _, e := range all {
			if !e.over(s.Now()) {
				going = append(going, e)
			}
		}
		return err
	})
	return going, err
}

// ForgetSessions forgets sessions that ended by themselves and tries to sign in that no longer count, and says how many of each. Only
// an owner or a lead may.
func (s *Shop) ForgetSessions(ctx context.Context) (sessions, tries int, err error) {
	if _, err := allow(ctx, "forgetting sessions", Lead); err != nil {
		return 0, 0, err
	}
	err = s.Store.InTx(ctx, func(tx Tx) error {
		now := s.Now().UTC()
		if sessions, err = tx.DropSessions(now, now.Add(-SessionIdle)); err != nil {
			return err
		}
		tries, err = tx.DropTries(now)
		return err
	})
	return sessions, tries, err
}
