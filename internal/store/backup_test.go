package store_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

func TestBackupWhileOthersWrite(t *testing.T) {
	db := migrated(t, sqliteAddress(t))
	fill(t, db)
	path := filepath.Join(t.TempDir(), "a backup.db")
	stop := make(chan struct{})
	var writers sync.WaitGroup
	writers.Go(func() {
		for n := 0; ; n++ {
			select {
			case <-stop:
				return
			default:
			}
			err := db.InTx(context.Background(), func(tx workshop.Tx) error {
				_, err := tx.Post([]stock.Movement{{Spool: "S-1", Kind: stock.Draw, Mass: -1, EffectiveOn: monday, EffectiveAt: noon, PostedAt: noon, Person: "ines", Reason: "trial"}})
				return err
			})
			if err != nil {
				t.Error(err)
				return
			}
		}
	})
	for range 3 { // the second and third replace the one before
		if err := db.Backup(t.Context(), path, true); err != nil {
			t.Error(err)
		}
		if broken, err := store.CheckBackup(t.Context(), path); err != nil || len(broken) > 0 {
			t.Errorf("%v, %v", broken, err)
		}
	}
	close(stop)
	writers.Wait()
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), "*")); len(left) != 1 {
		t.Errorf("left behind: %q", left)
	}
}

func TestBackupIsPutWhereItMayBe(t *testing.T) {
	address := sqliteAddress(t)
	db := migrated(t, address)
	text := filepath.Join(t.TempDir(), "letter.txt")
	if err := os.WriteFile(text, []byte("a letter that is longer than a header"), 0o600); err != nil {
		t.Fatal(err)
	}
	there := filepath.Join(t.TempDir(), "there.db")
	if err := db.Backup(t.Context(), there, false); err != nil {
		t.Fatal(err)
	}
	for path, says := range map[string]string{
		strings.TrimPrefix(address, "sqlite:"): "the database itself",
		text:                                   "no database",
		filepath.Join(t.TempDir(), "none", "b.db"): "b.db: no such folder",
		there: "there is a database already; give --replace",
	} {
		if err := db.Backup(t.Context(), path, false); err == nil || strings.Contains(err.Error(), ".part") || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, want %q", path, err, says)
		}
	}
	if b, err := os.ReadFile(text); err != nil || !strings.HasPrefix(string(b), "a letter") {
		t.Errorf("the letter is %q, %v", b, err)
	}
}

func TestRestore(t *testing.T) {
	address := sqliteAddress(t)
	path := strings.TrimPrefix(address, "sqlite:")
	db := migrated(t, address)
	fill(t, db)
	backup := filepath.Join(t.TempDir(), "b.db")
	if err := db.Backup(t.Context(), backup, false); err != nil {
		t.Fatal(err)
	}
	elsewhere := filepath.Join(t.TempDir(), "new.db")
	if kept, err := store.Restore(t.Context(), backup, "sqlite:"+elsewhere, false); err != nil || kept != "" {
		t.Fatalf("where nothing was: %q, %v", kept, err)
	}
	if n := len(answered(t, opened(t, "sqlite:"+elsewhere), workshop.Reader.Spools)); n != len(spools) {
		t.Errorf("%d spools, want %d", n, len(spools))
	}
	if _, err := store.Restore(t.Context(), backup, address, false); !errors.Is(err, store.ErrInTheWay) {
		t.Errorf("over a database: %v", err)
	}
	if _, err := store.Restore(t.Context(), backup, address, true); err == nil || !strings.Contains(err.Error(), "in use") {
		t.Errorf("while it is open: %v", err)
	}
	if got := len(answered(t, db, workshop.Reader.Spools)); got != len(spools) {
		t.Errorf("the open database has %d spools", got)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	kept, err := store.Restore(t.Context(), backup, address, true)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(kept); err != nil || kept == path {
		t.Errorf("kept as %q: %v", kept, err)
	}

	for name, spoil := range map[string]func([]byte) []byte{
		"cut short":       func(b []byte) []byte { return b[:len(b)/2] },
		"no database":     func([]byte) []byte { return []byte("a letter that is longer than a header") },
		"another's":       nil,
		"out of its sums": nil,
	} {
		t.Run(name, func(t *testing.T) {
			bad := filepath.Join(t.TempDir(), "bad.db")
			switch {
			case spoil != nil:
				b, err := os.ReadFile(backup)
				if err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(bad, spoil(b), 0o600); err != nil {
					t.Fatal(err)
				}
			case name == "another's":
				other := opened(t, "sqlite:"+bad)
				raw(t, other, "CREATE TABLE theirs (x)")
			default:
				if _, err := store.Restore(t.Context(), backup, "sqlite:"+bad, false); err != nil {
					t.Fatal(err)
				}
				raw(t, opened(t, "sqlite:"+bad), "UPDATE spools SET mass = mass - 5 WHERE code = 'S-1'", "PRAGMA wal_checkpoint(TRUNCATE)")
			}
			if _, err := store.Restore(t.Context(), bad, address, true); err == nil {
				t.Error("it was restored")
			}
			if broken, err := store.CheckBackup(t.Context(), bad); err == nil && len(broken) == 0 {
				t.Error("it was found sound")
			}
			again := opened(t, address)
			if got := len(answered(t, again, workshop.Reader.Spools)); got != len(spools) {
				t.Errorf("the database has %d spools now", got)
			}
			if err := again.Close(); err != nil {
				t.Fatal(err)
			}
		})
	}
}
