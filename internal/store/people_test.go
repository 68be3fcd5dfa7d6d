package store_test

import (
	"errors"
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

var (
	ines = workshop.Member{Key: "ines", Name: "Ines", Role: workshop.Owner, Password: "$argon2id$1", AddedAt: noon}
	elan = workshop.Member{Key: "élan", Name: "Élan", Role: workshop.Winder, Password: "$argon2id$2", AddedAt: noon}
)

func TestPeopleAreKept(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		write(t, db, func(tx workshop.Tx) error { return errors.Join(tx.AddMember(elan), tx.AddMember(ines)) })
		err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.AddMember(workshop.Member{Key: "ines", Name: "INES"}) })
		if !errors.Is(err, workshop.ErrExists) {
			t.Errorf("a name twice: %v", err)
		}
		changed := elan
		changed.Role, changed.Password, changed.OffAt = workshop.Lead, "$argon2id$3", noon.Add(time.Hour)
		write(t, db, func(tx workshop.Tx) error { return tx.SaveMember(changed) })
		read(t, db, func(r workshop.Reader) error {
			same(t, "everyone", []workshop.Member{ines, changed})(r.Members())
			same(t, "one", changed)(r.Member("élan"))
			if _, err := r.Member("ada"); !errors.Is(err, workshop.ErrNotFound) {
				t.Errorf("a stranger: %v", err)
			}
			return nil
		})
		changed.OffAt = time.Time{}
		write(t, db, func(tx workshop.Tx) error { return tx.SaveMember(changed) })
		same(t, "on again", changed)(answered(t, db, func(r workshop.Reader) (workshop.Member, error) { return r.Member("élan") }), nil)
	})
}

func TestSessionsAreKept(t *testing.T) {
	first := workshop.Session{Hash: []byte{1}, Person: "ines", BeganAt: noon, SeenAt: noon, EndsAt: noon.Add(14 * time.Hour), Address: "10.0.0.7"}
	second := workshop.Session{Hash: []byte{2}, Person: "ines", BeganAt: noon.Add(time.Minute), SeenAt: noon.Add(time.Minute), EndsAt: noon.Add(15 * time.Hour), Address: "10.0.0.8"}
	other := workshop.Session{Hash: []byte{3}, Person: "élan", BeganAt: noon, SeenAt: noon, EndsAt: noon.Add(14 * time.Hour)}
	onBoth(t, func(t *testing.T, db *store.DB) {
		write(t, db, func(tx workshop.Tx) error {
			return errors.Join(tx.AddMember(elan), tx.AddMember(ines), tx.AddSession(first), tx.AddSession(second), tx.AddSession(other))
		})
		if err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.AddSession(workshop.Session{Hash: []byte{4}, Person: "nobody"}) }); !errors.Is(err, store.ErrRefers) {
			t.Errorf("a session of nobody: %v", err)
		}
		seen := first
		seen.SeenAt = noon.Add(time.Hour)
		write(t, db, func(tx workshop.Tx) error {
			return errors.Join(tx.SeeSession(first.Hash, seen.SeenAt), tx.SeeSession(first.Hash, noon)) // never back
		})
		read(t, db, func(r workshop.Reader) error {
			same(t, "session", seen)(r.Session(first.Hash))
			same(t, "sessions", []workshop.Session{second, seen})(r.SessionsOf("ines"))
			return nil
		})
		write(t, db, func(tx workshop.Tx) error { return tx.EndSession(first.Hash) })
		read(t, db, func(r workshop.Reader) error {
			if _, err := r.Session(first.Hash); !errors.Is(err, workshop.ErrNotFound) {
				t.Errorf("an ended session: %v", err)
			}
			return nil
		})
		write(t, db, func(tx workshop.Tx) error {
			n, err := tx.DropSessions(noon.Add(14*time.Hour), noon.Add(-time.Hour))
			if n != 1 {
				t.Errorf("%d sessions dropped, want the other's, which ended", n)
			}
			m, errOf := tx.EndSessionsOf("ines")
			if m != 1 {
				t.Errorf("%d sessions of ines", m)
			}
			return errors.Join(err, errOf)
		})
	})
}

func TestTriesAreKept(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		of := workshop.Tries{Subject: []byte{7}, LastAt: noon, ForgottenAt: noon.Add(time.Hour)}
		write(t, db, func(tx workshop.Tx) error { return tx.SaveTries(of) })
		of.LastAt, of.ForgottenAt = noon.Add(time.Minute), noon.Add(2*time.Hour)
		write(t, db, func(tx workshop.Tx) error { return tx.SaveTries(of) })
		read(t, db, func(r workshop.Reader) error {
			got, err := r.Tries(of.Subject)
			if err != nil || !got.LastAt.Equal(of.LastAt) || !got.ForgottenAt.Equal(of.ForgottenAt) {
				t.Errorf("tries %+v, %v", got, err)
			}
			return nil
		})
		write(t, db, func(tx workshop.Tx) error {
			kept, err := tx.DropTries(noon.Add(time.Hour))
			gone, err2 := tx.DropTries(noon.Add(2 * time.Hour))
			if kept != 0 || gone != 1 {
				t.Errorf("dropped %d, then %d", kept, gone)
			}
			return errors.Join(err, err2)
		})
	})
}

func TestTokensAreUsedAndRevoked(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		k := workshop.Token{Name: "Scale", Hash: []byte{5}, Role: workshop.Winder, CreatedAt: noon}
		write(t, db, func(tx workshop.Tx) error {
			return errors.Join(tx.AddToken(k), tx.UseToken("Scale", noon.Add(time.Minute)))
		})
		k.UsedAt = noon.Add(time.Minute)
		same(t, "used", []workshop.Token{k})(answered(t, db, workshop.Reader.Tokens), nil)
		write(t, db, func(tx workshop.Tx) error { return tx.RevokeToken("scale", noon.Add(time.Hour)) })
		k.RevokedAt = noon.Add(time.Hour)
		same(t, "revoked", []workshop.Token{k})(answered(t, db, workshop.Reader.Tokens), nil)
		for name, fn := range map[string]func(workshop.Tx) error{
			"revoked again": func(tx workshop.Tx) error { return tx.RevokeToken("scale", noon) },
			"looked for":    func(tx workshop.Tx) error { _, err := tx.Token(k.Hash); return err },
		} {
			if err := db.InTx(t.Context(), fn); !errors.Is(err, workshop.ErrNotFound) {
				t.Errorf("%s: %v", name, err)
			}
		}
	})
}

// TestAuditIsPaged walks the audit backwards in pages while it grows, and narrows it.
func TestAuditIsPaged(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		var want []string
		write(t, db, func(tx workshop.Tx) error {
			for i := range 10 {
				e := workshop.AuditEntry{At: noon.Add(time.Duration(i/2) * time.Hour), Person: []string{"Ines", "Élan"}[i%2], Action: fmt.Sprint("act ", i), Subject: "S-1", Source: "page"}
				if i == 4 {
					e.Subject = "O-1"
				}
				want = append([]string{e.Action}, want...)
				if err := tx.Record(e); err != nil {
					return err
				}
			}
			return nil
		})
		var got []string
		f := workshop.AuditFilter{Most: 3}
		for {
			page := answered(t, db, func(r workshop.Reader) ([]workshop.AuditEntry, error) { return r.Audit(f) })
			if len(page) == 0 {
				break
			}
			for _, e := range page {
				got = append(got, e.Action)
			}
			f.Before = page[len(page)-1].ID
			write(t, db, func(tx workshop.Tx) error {
				return tx.Record(workshop.AuditEntry{At: noon.Add(9 * time.Hour), Action: "meanwhile"})
			})
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Error(diff)
		}
		for name, tt := range map[string]struct {
			filter workshop.AuditFilter
			want   int
		}{
			"person":  {workshop.AuditFilter{Person: "INES", Most: 99}, 5},
			"subject": {workshop.AuditFilter{Subject: "o-1", Most: 99}, 1},
			"times":   {workshop.AuditFilter{From: noon.Add(time.Hour), Until: noon.Add(3 * time.Hour), Most: 99}, 4},
			"all":     {workshop.AuditFilter{Person: "ines", Subject: "s-1", From: noon.Add(time.Hour), Most: 99}, 3},
			"nobody":  {workshop.AuditFilter{Person: "' OR 1=1 --", Most: 99}, 0},
		} {
			entries := answered(t, db, func(r workshop.Reader) ([]workshop.AuditEntry, error) { return r.Audit(tt.filter) })
			if len(entries) != tt.want {
				t.Errorf("%s: %d entries, want %d", name, len(entries), tt.want)
			}
		}
	})
}
