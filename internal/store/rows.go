package store

import (
	"context"
	"database/sql"
	"slices"
	"strings"
	"time"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"

	"windingroom/internal/calendar"
	"windingroom/internal/workshop"
)

// reader answers within one snapshot, tx within the one transaction that writes.
type reader struct {
	db      *gorm.DB
	dialect dialect
}

type tx struct{ reader }

var (
	_ workshop.Reader = (*reader)(nil)
	_ workshop.Tx     = (*tx)(nil)
)

func (r *reader) context() context.Context { return r.db.Statement.Context }

// list reads all rows of a query.
func list[T any](r *reader, query string, args ...any) ([]T, error) {
	var rows []T
	err := r.db.Raw(query, args...).Scan(&rows).Error
	return rows, translate(err)
}

// one reads the only row of a query; without one it fails with workshop.ErrNotFound.
func one[T any](r *reader, query string, args ...any) (T, error) {
	var none T
	rows, err := list[T](r, query, args...)
	switch {
	case err != nil:
		return none, err
	case len(rows) == 0:
		return none, workshop.ErrNotFound
	}
	return rows[0], nil
}

// exec runs a statement and gives how many rows it touched.
func (t *tx) exec(statement string, args ...any) (int64, error) {
	result := t.db.Exec(statement, args...)
	return result.RowsAffected, translate(result.Error)
}

// upsert saves rows of different codes in GORM's way; one whose code is taken, without case, replaces the named columns and
// keeps the code as it was.
func upsert[T any](t *tx, rows []T, columns ...string) error {
	if len(rows) == 0 {
		return nil
	}
	conflict := clause.OnConflict{
		Columns:   []clause.Column{{Name: "lower(code)", Raw: true}},
		DoUpdates: clause.AssignmentColumns(columns),
		DoNothing: len(columns) == 0,
	}
	return translate(t.db.Clauses(conflict).CreateInBatches(rows, 200).Error)
}

// insert adds rows to a table by one prepared statement inside GORM's transaction, which is several times faster than
// Create for long lists. values gives an item's values in the order of the columns, which are separated by commas.
func insert[T any](t *tx, table, columns string, items []T, values func(T) []any) error {
	if len(items) == 0 {
		return nil
	}
	width := strings.Count(columns, ",") + 1
	perInsert := min(t.dialect.rowsPerInsert(), len(items))
	whole := len(items) / perInsert * perInsert
	if err := insertBy(t, table, columns, width, perInsert, items[:whole], values); err != nil {
		return err
	}
	return insertBy(t, table, columns, width, len(items)-whole, items[whole:], values)
}

// insertBy inserts so many items by one statement; their number is a multiple of it.
func insertBy[T any](t *tx, table, columns string, width, perInsert int, items []T, values func(T) []any) (err error) {
	if len(items) == 0 {
		return nil
	}
	marks := make([]string, perInsert)
	for i := range marks {
		marks[i] = t.dialect.placeholders(i, width)
	}
	statement, err := t.db.Statement.ConnPool.PrepareContext(t.context(),
		"INSERT INTO "+table+" ("+columns+") VALUES "+strings.Join(marks, ","))
	if err != nil {
		return translate(err)
	}
	defer func() {
		if e := statement.Close(); err == nil {
			err = e
		}
	}()
	args := make([]any, 0, perInsert*width)
	for i, item := range items {
		args = append(args, values(item)...)
		if (i+1)%perInsert != 0 {
			continue
		}
		if _, err := statement.ExecContext(t.context(), args...); err != nil {
			return translate(err)
		}
		args = args[:0]
	}
	return nil
}

// orNull stores the zero value as NULL.
func orNull[T comparable](v T) sql.Null[T] {
	var zero T
	return sql.Null[T]{V: v, Valid: v != zero}
}

// instant is a time as both databases can keep it: UTC, whole microseconds.
func instant(t time.Time) time.Time { return t.UTC().Truncate(time.Microsecond) }

// chunks cuts a list so that each part fits into one statement's parameters. A part is filled up to a power of two by
// repeating its last item, so that a statement with IN is prepared in ten lengths and not in five hundred.
func chunks[T any](items []T, do func([]T) error) error {
	const most = 512
	for len(items) > 0 {
		n := min(most, len(items))
		part := slices.Clone(items[:n])
		for len(part)&(len(part)-1) != 0 {
			part = append(part, part[n-1])
		}
		if err := do(part); err != nil {
			return err
		}
		items = items[n:]
	}
	return nil
}

// day gives a date as both databases keep it: text, or NULL for no date.
func day(d calendar.Date) any {
	if d.IsZero() {
		return nil
	}
	return d.String()
}
