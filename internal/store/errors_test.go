package store_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

func TestFullDisk(t *testing.T) {
	db := migrated(t, sqliteAddress(t))
	fill(t, db)
	raw(t, db, "PRAGMA max_page_count = 1") // no less than there are: no page can be added
	usage := make([]stock.Usage, 20_000)
	for i := range usage {
		usage[i] = stock.Usage{On: monday, Wire: "W-R-12", Mass: 7, Nth: i + 1}
	}
	if err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.AddUsage(usage) }); !errors.Is(err, workshop.ErrFull) {
		t.Errorf("got %v", err)
	}
	if keys := answered(t, db, workshop.Reader.UsageKeys); len(keys) != 0 {
		t.Errorf("%d rows were written", len(keys))
	}
}

func TestReadOnlyFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "shop.db")
	migrated(t, "sqlite:"+path).Close()
	if err := os.Chmod(path, 0o400); err != nil {
		t.Fatal(err)
	}
	if file, err := os.OpenFile(path, os.O_RDWR, 0); err == nil {
		file.Close()
		t.Skip("file modes do not bind this user")
	}
	db, err := store.Open(t.Context(), "sqlite:"+path)
	if err == nil {
		defer db.Close()
		err = db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.Record(workshop.AuditEntry{At: noon}) })
	}
	if !errors.Is(err, store.ErrReadOnly) {
		t.Errorf("got %v", err)
	}
}

func TestReadersCannotWrite(t *testing.T) {
	db := migrated(t, sqliteAddress(t))
	fill(t, db)
	if err := store.Translate(db.RawReader().Exec("DELETE FROM usage").Error); !errors.Is(err, store.ErrReadOnly) {
		t.Errorf("got %v", err)
	}
}

// Another program holds the database for a moment; whoever wants to write waits for it.
func TestWaitsForAnotherProgram(t *testing.T) {
	for name, address := range map[string]func(testing.TB) string{"sqlite": sqliteAddress, "postgres": testkit.Postgres} {
		t.Run(name, func(t *testing.T) {
			where := address(t)
			ours, theirs := migrated(t, where), opened(t, where)
			fill(t, ours)
			inside, done := make(chan struct{}), make(chan error, 1)
			go func() {
				done <- theirs.InTx(t.Context(), func(tx workshop.Tx) error {
					close(inside)
					time.Sleep(300 * time.Millisecond)
					return tx.Allocate("S-3", 1)
				})
			}()
			<-inside
			runs := 0
			write(t, ours, func(tx workshop.Tx) error { runs++; return tx.Allocate("S-3", 1) })
			if err := <-done; err != nil {
				t.Error(err)
			}
			b := answered(t, ours, func(r workshop.Reader) (stock.Balance, error) { return r.Spool("S-3") })
			if b.Allocated != 2 || runs != 1 {
				t.Errorf("allocated %s in %d runs", b.Allocated, runs)
			}
		})
	}
}

// Someone who does not keep to the one-writer rule changes a row in between: PostgreSQL gives the transaction up, and it
// is run again on what is true now.
func TestRunsAgainAfterACollision(t *testing.T) {
	db := migrated(t, testkit.Postgres(t))
	fill(t, db)
	runs := 0
	write(t, db, func(tx workshop.Tx) error {
		runs++
		b, err := tx.Spool("S-3")
		if err != nil {
			return err
		}
		if runs < 3 {
			meddle(t, db, fmt.Sprintf("UPDATE spools SET allocated = allocated + 1, location = 'row %d' WHERE code = 'S-3'", runs))
		}
		return tx.Allocate("S-3", b.Free())
	})
	b := answered(t, db, func(r workshop.Reader) (stock.Balance, error) { return r.Spool("S-3") })
	if runs != 3 || b.Free() != 0 || b.Location != "row 2" {
		t.Errorf("after %d runs: %+v", runs, b)
	}
	never := 0
	err := db.InTx(t.Context(), func(tx workshop.Tx) error {
		never++
		if _, err := tx.Spools(); err != nil {
			return err
		}
		meddle(t, db, fmt.Sprintf("UPDATE spools SET location = 'row %d' WHERE code = 'S-2'", never))
		return tx.Allocate("S-2", 1)
	})
	if !errors.Is(err, workshop.ErrBusy) || never > 10 {
		t.Errorf("after %d runs: %v", never, err)
	}
}

// meddle writes by a connection of its own, while the one that writes is in a transaction.
func meddle(t *testing.T, db *store.DB, statement string) {
	t.Helper()
	if err := db.RawReader().Exec(statement).Error; err != nil {
		t.Fatal(err)
	}
}

func TestEndedContext(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		ctx, cancel := context.WithCancel(t.Context())
		err := db.InTx(ctx, func(tx workshop.Tx) error {
			if err := tx.Allocate("S-1", 1); err != nil {
				return err
			}
			cancel()
			return tx.Allocate("S-1", 1)
		})
		if !errors.Is(err, ctx.Err()) {
			t.Errorf("got %v", err)
		}
		same(t, "spools", balances())(answered(t, db, workshop.Reader.Spools), nil)
	})
}
