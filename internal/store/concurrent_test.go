package store_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

func TestInTxLeavesNothingWhenItFails(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		fails := errors.New("changed my mind")
		err := db.InTx(t.Context(), func(tx workshop.Tx) error {
			if err := tx.SetOrderStatus("O-2", order.Draft, order.Cancelled); err != nil {
				return err
			}
			if _, err := tx.Post([]stock.Movement{drawn(-5, 0)}); err != nil {
				return err
			}
			if err := tx.SavePlan(proposal()); err != nil {
				return err
			}
			return fails
		})
		if !errors.Is(err, fails) {
			t.Errorf("got %v", err)
		}
		func() {
			defer func() { _ = recover() }()
			_ = db.InTx(t.Context(), func(tx workshop.Tx) error {
				if err := tx.Allocate("S-1", 1); err != nil {
					t.Error(err)
				}
				panic("a bug")
			})
			t.Error("the panic was swallowed")
		}()
		same(t, "spools", balances())(answered(t, db, workshop.Reader.Spools), nil)
		same(t, "open orders", orders[:1])(answered(t, db, func(r workshop.Reader) ([]order.Order, error) {
			return r.Orders(workshop.OrderFilter{OpenOnly: true})
		}), nil)
		if err := db.Read(t.Context(), func(r workshop.Reader) error { _, err := r.Plan(monday); return err }); !errors.Is(err, workshop.ErrNotFound) {
			t.Errorf("the plan: %v", err)
		}
	})
}

// Thirty-two people at once want wire of the same three spools, each taking all they can get: none gets a milligram that
// another has, and nobody is told that the database was busy.
func TestAllocatingAtOnceNeverOverAllocates(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
		defer cancel()
		var promised, refused [3]atomic.Int64
		var group sync.WaitGroup
		for person := range 32 {
			group.Go(func() {
				for turn := range 12 {
					i := (person + turn) % 3
					mass := measure.Mass(7001 + 13*person)
					err := db.InTx(ctx, func(tx workshop.Tx) error {
						b, err := tx.Spool(spools[i].Code) // read first, as use cases do
						if err != nil {
							return err
						}
						return tx.Allocate(b.Code, mass)
					})
					switch {
					case err == nil:
						promised[i].Add(int64(mass))
					case errors.Is(err, workshop.ErrShort):
						refused[i].Add(1)
					default:
						t.Error(err)
					}
				}
			})
		}
		group.Wait()
		for i, b := range answered(t, db, workshop.Reader.Spools) {
			if b.Allocated != measure.Mass(promised[i].Load()) || b.Free() < 0 {
				t.Errorf("spool %s: allocated %s, promised %d mg, free %s", b.Code, b.Allocated, promised[i].Load(), b.Free())
			}
		}
		if refused[1].Load() == 0 || refused[2].Load() == 0 {
			t.Error("nobody was refused: the test asks for too little")
		}
	})
}

func TestPostingAtOnceKeepsTheLedger(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		var group sync.WaitGroup
		for person := range 8 {
			group.Go(func() {
				for turn := range 20 {
					err := db.InTx(t.Context(), func(tx workshop.Tx) error {
						var moves []stock.Movement
						for _, i := range []int{(person + turn) % 3, (person + turn + 1) % 3} { // in ever other order
							b, err := tx.Spool(spools[i].Code)
							if err != nil {
								return err
							}
							m := drawn(-97, b.CostOf(-97))
							m.Spool, m.Key = b.Code, fmt.Sprintf("%d %d %d", person, turn, i)
							moves = append(moves, m)
						}
						_, err := tx.Post(moves)
						return err
					})
					if err != nil {
						t.Error(err)
					}
				}
			})
		}
		group.Wait()
		if got := invariants(t, db); len(got) > 0 {
			t.Errorf("broken: %q", got)
		}
		total := measure.Mass(0)
		for _, b := range answered(t, db, workshop.Reader.Spools) {
			total += b.Mass
		}
		if want := measure.Mass(1_800_000 - 8*20*2*97); total != want {
			t.Errorf("%s left, want %s", total, want)
		}
	})
}

func TestTwoWhoChangeOneOrder(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		seen := order.Draft // both have looked at the page
		var changed atomic.Int64
		var group sync.WaitGroup
		for _, to := range []order.Status{order.Confirmed, order.Cancelled} {
			group.Go(func() {
				err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.SetOrderStatus("O-2", seen, to) })
				switch {
				case errors.Is(err, workshop.ErrChanged):
					changed.Add(1)
				case err != nil:
					t.Error(err)
				}
			})
		}
		group.Wait()
		if changed.Load() != 1 {
			t.Errorf("%d were told that it changed, want 1", changed.Load())
		}
	})
}

// While many wait to write, a reader gets its answer.
func TestReadersDoNotWaitForWriters(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		hold, held := make(chan struct{}), make(chan struct{})
		var group sync.WaitGroup
		group.Go(func() {
			write(t, db, func(tx workshop.Tx) error { close(held); <-hold; return tx.Allocate("S-1", 1) })
		})
		<-held
		for range 40 {
			group.Go(func() { write(t, db, func(tx workshop.Tx) error { return tx.Allocate("S-1", 1) }) })
		}
		ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
		defer cancel()
		for range 20 {
			if err := db.Read(ctx, func(r workshop.Reader) error { _, err := r.Spools(); return err }); err != nil {
				t.Error(err)
				break
			}
		}
		close(hold)
		group.Wait()
	})
}

// A reader sees one state, whatever is committed while it reads, and does not wait for the writer.
func TestReadIsOneState(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		mass := func(r workshop.Reader) measure.Mass {
			b, err := r.Spool("S-2")
			if err != nil {
				t.Error(err)
			}
			return b.Mass
		}
		read(t, db, func(r workshop.Reader) error {
			before := mass(r)
			write(t, db, func(tx workshop.Tx) error { _, err := tx.Post([]stock.Movement{drawn(-5, 0)}); return err })
			if after := mass(r); after != before {
				t.Errorf("%s, then %s", before, after)
			}
			return nil
		})
		write(t, db, func(tx workshop.Tx) error {
			if _, err := tx.Post([]stock.Movement{drawn(-5, 0)}); err != nil {
				return err
			}
			inside := mass(tx)
			outside := answered(t, db, func(r workshop.Reader) (measure.Mass, error) { return mass(r), nil })
			if inside != outside-5 {
				t.Errorf("%s inside, %s outside", inside, outside)
			}
			return nil
		})
	})
}
