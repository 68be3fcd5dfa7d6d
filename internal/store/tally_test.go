package store_test

import (
	"errors"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

func TestTallyOfABatch(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		b := answered(t, db, func(r workshop.Reader) (batch.Batch, error) { return r.Batch("B2") })
		at := time.Date(2026, 3, 2, 7, 0, 0, 123000, time.UTC)
		made := []batch.Mark{
			{Batch: b.Code, Kind: batch.Begin, At: at, Person: "Ines"},
			{Batch: b.Code, Kind: batch.Count, At: at.Add(time.Minute), Person: "Ines", Good: 10, Key: "k"},
			{Batch: b.Code, Kind: batch.Feed, At: at.Add(2 * time.Minute), Person: "Bo", Wire: b.Draws[0].Wire, Spool: b.Draws[0].Spool},
		}
		write(t, db, func(tx workshop.Tx) error {
			for i, m := range made {
				got, err := tx.AddMark(m)
				if err != nil {
					return err
				}
				if made[i].Number = i + 1; got != made[i] {
					t.Errorf("made %+v, want %+v", got, made[i])
				}
			}
			return nil
		})
		marks := func() []batch.Mark {
			return answered(t, db, func(r workshop.Reader) (map[batch.Code][]batch.Mark, error) { return r.Marks(b.Code, "B-none") })[b.Code]
		}
		for i, m := range marks() {
			if m != made[i] {
				t.Errorf("kept %+v, want %+v", m, made[i])
			}
		}
		if err := db.InTx(t.Context(), func(tx workshop.Tx) error { _, err := tx.AddMark(made[1]); return err }); !errors.Is(err, workshop.ErrExists) {
			t.Errorf("one key made two marks: %v", err)
		}
		if m := answered(t, db, func(r workshop.Reader) (batch.Mark, error) { return r.MarkByKey("k") }); m != made[1] {
			t.Errorf("under the key is %+v", m)
		}
		write(t, db, func(tx workshop.Tx) error { return tx.UndoMark(b.Code, 3, at) })
		if err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.UndoMark(b.Code, 3, at) }); !errors.Is(err, workshop.ErrChanged) {
			t.Errorf("undone twice: %v", err)
		}
		write(t, db, func(tx workshop.Tx) error { return tx.TakeTally(b.Code, 1) })
		if got := marks(); got[1].Result != 1 || got[2].Result != 0 || got[2].Stands() {
			t.Errorf("after a result %+v", got)
		}
		write(t, db, func(tx workshop.Tx) error { return tx.GiveTallyBack(b.Code, 1) })
		if got := marks(); !got[1].Open() {
			t.Errorf("after undoing it %+v", got)
		}
		write(t, db, func(tx workshop.Tx) error { return tx.DropTally(b.Code) })
		if got := marks(); len(got) != 0 {
			t.Errorf("still %+v", got)
		}
	})
}
