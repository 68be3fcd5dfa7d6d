package store

import (
	"fmt"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/material"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

type markRow struct {
	Batch          batch.Code
	Number         int
	Kind           batch.MarkKind
	At             time.Time
	Person         string
	Good, Scrapped int
	Reason         string
	Spool          stock.SpoolCode
	Wire           material.WireCode
	Key            string
	Result         int
	UndoneAt       *time.Time
}

func (r markRow) mark() batch.Mark {
	m := batch.Mark{Batch: r.Batch, Number: r.Number, Kind: r.Kind, At: r.At.UTC(), Person: r.Person, Good: r.Good, Scrapped: r.Scrapped,
		Reason: r.Reason, Wire: r.Wire, Spool: r.Spool, Key: r.Key, Result: r.Result}
	if r.UndoneAt != nil {
		m.UndoneAt = r.UndoneAt.UTC()
	}
	return m
}

// Marks gives what the bench said of some batches, taken back or not, by number.
func (r *reader) Marks(codes ...batch.Code) (map[batch.Code][]batch.Mark, error) {
	of := map[batch.Code][]batch.Mark{}
	err := chunks(codes, func(part []batch.Code) error {
		rows, err := list[markRow](r, "SELECT * FROM tally WHERE batch IN ? ORDER BY batch, number", part)
		for _, row := range rows {
			of[row.Batch] = append(of[row.Batch], row.mark())
		}
		return err
	})
	return of, err
}

// MarkByKey gives the mark made under an idempotency key.
func (r *reader) MarkByKey(key string) (batch.Mark, error) {
	row, err := one[markRow](r, "SELECT * FROM tally WHERE key = ?", key)
	return row.mark(), named("mark", key, err)
}

// Posted gives what results that stand say of some batches, and when the last of them was posted.
func (r *reader) Posted(codes ...batch.Code) (map[batch.Code]workshop.PostedSum, error) {
	type row struct {
		Batch          batch.Code
		Good, Scrapped int
		PostedAt       time.Time
	}
	of := map[batch.Code]workshop.PostedSum{}
	err := chunks(codes, func(part []batch.Code) error {
		rows, err := list[row](r, "SELECT batch, good, scrapped, posted_at FROM results WHERE undone_at IS NULL AND batch IN ? ORDER BY batch, number", part)
		for _, row := range rows {
			sum := of[row.Batch]
			sum.Good, sum.Scrapped, sum.LastAt = sum.Good+row.Good, sum.Scrapped+row.Scrapped, row.PostedAt.UTC()
			of[row.Batch] = sum
		}
		return err
	})
	return of, err
}

// AddMark adds a mark under its batch's next number.
func (t *tx) AddMark(m batch.Mark) (batch.Mark, error) {
	var err error
	m.Number, err = one[int](&t.reader, "SELECT coalesce(max(number), 0) + 1 FROM tally WHERE batch = ?", m.Batch)
	if err != nil {
		return m, named("tally of batch", m.Batch, err)
	}
	m.At = instant(m.At)
	const columns = "batch, number, kind, at, person, good, scrapped, reason, spool, wire, key"
	err = insert(t, "tally", columns, []batch.Mark{m}, func(m batch.Mark) []any {
		return []any{m.Batch, m.Number, string(m.Kind), m.At, m.Person, m.Good, m.Scrapped, m.Reason, orNull(m.Spool), orNull(m.Wire), orNull(m.Key)}
	})
	return m, named("tally of batch", m.Batch, err)
}

// UndoMark takes a mark back that no result took.
func (t *tx) UndoMark(code batch.Code, number int, at time.Time) error {
	n, err := t.exec("UPDATE tally SET undone_at = ? WHERE batch = ? AND number = ? AND undone_at IS NULL AND result IS NULL", instant(at), code, number)
	if err == nil && n != 1 {
		err = fmt.Errorf("mark %d: %w", number, workshop.ErrChanged)
	}
	return named("tally of batch", code, err)
}

// TakeTally has a result take a batch's open marks.
func (t *tx) TakeTally(code batch.Code, result int) error {
	_, err := t.exec("UPDATE tally SET result = ? WHERE batch = ? AND undone_at IS NULL AND result IS NULL", result, code)
	return named("tally of batch", code, err)
}

// GiveTallyBack opens the marks again that a result took.
func (t *tx) GiveTallyBack(code batch.Code, result int) error {
	_, err := t.exec("UPDATE tally SET result = NULL WHERE batch = ? AND result = ?", code, result)
	return named("tally of batch", code, err)
}

// DropTally forgets all marks of a batch.
func (t *tx) DropTally(code batch.Code) error {
	_, err := t.exec("DELETE FROM tally WHERE batch = ?", code)
	return named("tally of batch", code, err)
}
