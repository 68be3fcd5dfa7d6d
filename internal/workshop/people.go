package workshop

import (
	"context"
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"windingroom/internal/password"
)

// longestName of a person fits the head of a page.
const longestName = 64

// MemberKey gives the form in which a person's name is compared: without case, spaces at its ends, or the two ways in which Unicode
// writes an accent.
func MemberKey(name string) string { return strings.ToLower(norm.NFC.String(strings.TrimSpace(name))) }

// AddPerson lets a new person of the shop sign in with a name and a password. Only an owner may.
func (s *Shop) AddPerson(ctx context.Context, name string, role Role, secret string) error {
	p, err := allow(ctx, "adding a person", Owner)
	if err != nil {
		return err
	}
	name = norm.NFC.String(strings.TrimSpace(name))
	if n := utf8.RuneCountInString(name); n == 0 || n > longestName || !utf8.ValidString(name) || strings.ContainsFunc(name, unicode.IsControl) {
		return wrong("name", "is needed, of 1 to %d characters", longestName)
	}
	if role, err = checkRole(role); err != nil {
		return err
	}
	hash, err := s.newPassword(ctx, name, secret)
	if err != nil {
		return err
	}
	return s.Store.InTx(ctx, func(tx Tx) error {
		m := Member{Key: MemberKey(name), Name: name, Role: role, Password: hash, AddedAt: s.Now().UTC()}
		if err := tx.AddMember(m); err != nil {
			return err
		}
		return tx.Record(s.audit(p, "add person", name, "role "+string(role)))
	})
}

// People lists who can sign in or could once, by name. Only an owner may see them; passwords are left out.
func (s *Shop) People(ctx context.Context) (members []Member, err error) {
	if _, err := allow(ctx, "seeing the people", Owner); err != nil {
		return nil, err
	}
	err = s.Store.Read(ctx, func(r Reader) error {
		members, err = r.Members()
		return err
	})
	for i := range members {
		members[i].Password = ""
	}
	return members, err
}

// ChangeRole gives a person another role, at once also where they are signed in. Only an owner may; the last one stays.
func (s *Shop) ChangeRole(ctx context.Context, name string, role Role) error {
	if _, err := checkRole(role); err != nil {
		return err
	}
	return s.changePerson(ctx, "changing a role", name, func(tx Tx, m *Member) (act, detail string, err error) {
		act, detail = "change role", fmt.Sprintf("from %s to %s", m.Role, role)
		m.Role = role
		return act, detail, nil
	})
}

// SetPassword gives a person a new password and ends their sessions. Only an owner may; ChangeOwnPassword is for everyone.
func (s *Shop) SetPassword(ctx context.Context, name, secret string) error {
	if _, err := allow(ctx, "setting a password", Owner); err != nil { // before any work is done for it
		return err
	}
	hash, err := s.newPassword(ctx, name, secret)
	if err != nil {
		return err
	}
	return s.changePerson(ctx, "setting a password", name, func(tx Tx, m *Member) (act, detail string, err error) {
		m.Password = hash
		ended, err := tx.EndSessionsOf(m.Key)
		if err == nil {
			err = tx.ForgetTries(nameSubject(m.Name))
		}
		return "set password", fmt.Sprintf("%d sessions ended", ended), err
	})
}

// TurnOff keeps a person out from now on: their sessions end, and so does a token of their name, which acts as them. What they did stays
// under their name. Only an owner may; the last one stays.
func (s *Shop) TurnOff(ctx context.Context, name string) error {
	return s.changePerson(ctx, "turning a person off", name, func(tx Tx, m *Member) (act, detail string, err error) {
		if m.Off() {
			return "", "", fmt.Errorf("%s is off already: %w", m.Name, ErrStage)
		}
		now := s.Now().UTC()
		m.OffAt = now
		ended, err := tx.EndSessionsOf(m.Key)
		if err != nil {
			return "", "", err
		}
		tokens, err := revokeOf(tx, m.Key, now)
		return "turn off person", fmt.Sprintf("%d sessions ended, %d tokens revoked", ended, tokens), err
	})
}

// TurnOn lets a person in again who was turned off. Only an owner may.
func (s *Shop) TurnOn(ctx context.Context, name string) error {
	return s.changePerson(ctx, "turning a person on", name, func(_ Tx, m *Member) (act, detail string, err error) {
		if !m.Off() {
			return "", "", fmt.Errorf("%s is on already: %w", m.Name, ErrStage)
		}
		m.OffAt = time.Time{}
		return "turn on person", "role " + string(m.Role), nil
	})
}

// changePerson changes one person for an owner, and refuses what would leave the shop without one.
func (s *Shop) changePerson(ctx context.Context, what, name string, change func(Tx, *Member) (act, detail string, err error)) error {
	p, err := allow(ctx, what, Owner)
	if err != nil {
		return err
	}
	return s.Store.InTx(ctx, func(tx Tx) error {
		m, err := tx.Member(MemberKey(name))
		if err != nil {
			return err
		}
		owned := m.Role == Owner && !m.Off()
		act, detail, err := change(tx, &m)
		if err != nil {
			return err
		}
		if err := tx.SaveMember(m); err != nil {
			return err
		}
		if owned && (m.Role != Owner || m.Off()) {
			if err := stillOwned(tx, m); err != nil {
				return err
			}
		}
		return tx.Record(s.audit(p, act, m.Name, detail))
	})
}

// stillOwned refuses a change after which nobody is owner.
func stillOwned(tx Tx, was Member) error {
	owned, err := hasOwner(tx)
	if err != nil || owned {
		return err
	}
	return fmt.Errorf("%s is the last owner, make someone else one first: %w", was.Name, ErrLastOwner)
}

// HasOwner says whether anyone can sign in as owner. It asks for no role: the page to sign in shows how to make the first one.
func (s *Shop) HasOwner(ctx context.Context) (owned bool, err error) {
	err = s.Store.Read(ctx, func(r Reader) error {
		owned, err = hasOwner(r)
		return err
	})
	return owned, err
}

func hasOwner(r Reader) (bool, error) {
	members, err := r.Members()
	for _, m := range members {
		if m.Role == Owner && !m.Off() {
			return true, err
		}
	}
	return false, err
}

func checkRole(role Role) (Role, error) {
	r, err := ParseRole(string(role))
	if err != nil {
		return "", wrong("role", "%s", err)
	}
	return r, nil
}

// newPassword gives a new password as it is kept, or refuses it.
func (s *Shop) newPassword(ctx context.Context, name, secret string) (string, error) {
	if err := password.Weak(secret, name, s.Name); err != nil {
		return "", wrong("password", "%s", err)
	}
	return s.passwordCost().Hash(ctx, secret)
}

func (s *Shop) passwordCost() password.Cost {
	if s.Passwords == (password.Cost{}) {
		return password.Standard
	}
	return s.Passwords
}
