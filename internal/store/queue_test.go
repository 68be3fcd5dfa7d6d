package store_test

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"windingroom/internal/measure"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

// Writers that wait while another works are committed together. Those of them that fail, give up or panic take nothing of the
// others with them, and each hears of its own end only.
func TestWritersCommittedTogether(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		before := allocatedOf(t, db)
		refuses := errors.New("refused by a rule")
		working, goOn := make(chan struct{}), make(chan struct{})
		var group sync.WaitGroup
		group.Go(func() { // holds the turn until all others wait
			err := db.InTx(t.Context(), func(tx workshop.Tx) error {
				close(working)
				<-goOn
				return tx.Allocate("S-1", 1)
			})
			if err != nil {
				t.Error(err)
			}
		})
		<-working
		var promised atomic.Int64
		promised.Add(1)
		for person := range 48 {
			group.Go(func() {
				mass := measure.Mass(10 + person)
				ctx, cancel := context.WithCancel(t.Context())
				defer cancel()
				if person%6 == 3 {
					cancel() // gave up while waiting
				}
				panics := person%6 == 4
				defer func() {
					if v := recover(); (v != nil) != panics {
						t.Errorf("person %d: panic %v", person, v)
					}
				}()
				err := db.InTx(ctx, func(tx workshop.Tx) error {
					if err := tx.Allocate("S-1", mass); err != nil {
						return err
					}
					if panics {
						panic("a bug")
					}
					if person%6 == 5 {
						return refuses
					}
					return nil
				})
				switch {
				case err == nil:
					promised.Add(int64(mass))
				case person%6 == 5 && errors.Is(err, refuses), person%6 == 3 && errors.Is(err, context.Canceled):
				default:
					t.Errorf("person %d: %v", person, err)
				}
			})
		}
		time.Sleep(50 * time.Millisecond) // let them line up; the outcome does not depend on it
		close(goOn)
		group.Wait()
		if got := allocatedOf(t, db) - before; int64(got) != promised.Load() {
			t.Errorf("%d mg are allocated, %d were promised", got, promised.Load())
		}
	})
}

func allocatedOf(t *testing.T, db *store.DB) measure.Mass {
	t.Helper()
	var allocated measure.Mass
	err := db.Read(t.Context(), func(r workshop.Reader) error {
		b, err := r.Spool("S-1")
		allocated = b.Allocated
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return allocated
}
