package workshop

import (
	"context"
	"crypto/sha256"
	"fmt"
	"net/netip"
	"time"
)

// How many tries may fail before the next one has to wait: of one name, and of one address, behind which a whole shop may sit. Those that
// are under way count as failed, so a name may be signed in on several browsers at once. Then each
// failure doubles the wait, from a second up to the longest. One failure is forgotten every ten minutes, so nobody is ever locked out;
// and a name is guessed at no more than some seven hundred times a day.
const (
	freeForName    = 10
	freeForAddress = 50
	longestWait    = 2 * time.Minute
	forgottenEvery = 10 * time.Minute
	mostOver       = 8 // failures that count beyond the free ones: 2^7 seconds are beyond the longest wait
)

// Slowed says how long to wait before the next try to sign in.
type Slowed struct{ Wait time.Duration }

// Error says it in whole seconds.
func (e Slowed) Error() string {
	return fmt.Sprintf("%s: wait %d seconds", ErrSlowed, e.Seconds())
}

// Seconds gives the wait, rounded up.
func (e Slowed) Seconds() int { return int((e.Wait + time.Second - 1) / time.Second) }

// Unwrap gives ErrSlowed.
func (e Slowed) Unwrap() error { return ErrSlowed }

// failures gives how many are not forgotten yet.
func (t Tries) failures(now time.Time) int {
	return int((max(t.ForgottenAt.Sub(now), 0) + forgottenEvery - 1) / forgottenEvery)
}

// wait gives how long after the last try the next one rests.
func wait(failures, free int) time.Duration {
	if failures < free {
		return 0
	}
	return min(time.Second<<min(failures-free, mostOver), longestWait)
}

// next gives the tries with one more failure now, or how long that one has to wait. A clock that was set back makes nobody wait longer.
func (t Tries) next(now time.Time, free int) (Tries, time.Duration) {
	failed := min(t.failures(now), free+mostOver)
	if w, since := wait(failed, free), now.Sub(t.LastAt).Abs(); failed > 0 && since < w {
		return t, w - since
	}
	debt := min(max(t.ForgottenAt.Sub(now), 0)+forgottenEvery, time.Duration(free+mostOver)*forgottenEvery)
	return Tries{Subject: t.Subject, LastAt: now, ForgottenAt: now.Add(debt)}, 0
}

// nameSubject and addressSubject give what tries are counted under. Names are hashed, because people type their password in the place
// of the name. An address of version 6 counts with its whole network, of which one customer has 2^64 addresses.
func nameSubject(name string) []byte { return subject("name " + MemberKey(name)) }

func addressSubject(address string) []byte {
	if a, err := netip.ParseAddr(address); err == nil && a.Unmap().Is6() {
		if network, err := a.WithZone("").Prefix(64); err == nil {
			address = network.String()
		}
	}
	return subject("address " + address)
}

func subject(text string) []byte {
	sum := sha256.Sum256([]byte(text))
	return sum[:]
}

// claimTry counts a try as failed before it is made, so that many at once are not all free, and refuses it with Slowed where it comes
// too early. A refused one does not count.
func (s *Shop) claimTry(ctx context.Context, c Credentials) error {
	return s.Store.InTx(ctx, func(tx Tx) error {
		now := s.Now().UTC()
		var claimed [2]Tries
		var longest time.Duration
		for i, of := range []struct {
			subject []byte
			free    int
		}{{nameSubject(c.Name), freeForName}, {addressSubject(c.Address), freeForAddress}} {
			tries, err := tx.Tries(of.subject)
			if ignore(err, ErrNotFound) != nil {
				return err
			}
			tries.Subject = of.subject
			next, w := tries.next(now, of.free)
			claimed[i], longest = next, max(longest, w)
		}
		if longest > 0 {
			return Slowed{longest}
		}
		for _, t := range claimed {
			if err := tx.SaveTries(t); err != nil {
				return err
			}
		}
		return s.noteGuessing(tx, c, claimed[0].failures(now))
	})
}

// noteGuessing puts into the audit that a person's password is being guessed at, once for each row of tries.
func (s *Shop) noteGuessing(tx Tx, c Credentials, tries int) error {
	if tries != freeForName+1 {
		return nil
	}
	m, err := tx.Member(MemberKey(c.Name))
	if err != nil {
		return ignore(err, ErrNotFound)
	}
	return tx.Record(s.audit(Person{Name: m.Name, Via: c.Via}, "wrong passwords", m.Name, fmt.Sprintf("%d, the last from %s; more are slowed", freeForName, c.Address)))
}

// forgiveTry takes a try back that succeeded. The address keeps its other failures, or whoever has one password could guess all others.
func forgiveTry(tx Tx, c Credentials) error {
	if err := tx.ForgetTries(nameSubject(c.Name)); err != nil {
		return err
	}
	of, err := tx.Tries(addressSubject(c.Address))
	if err != nil {
		return ignore(err, ErrNotFound)
	}
	of.ForgottenAt = of.ForgottenAt.Add(-forgottenEvery)
	return tx.SaveTries(of)
}
