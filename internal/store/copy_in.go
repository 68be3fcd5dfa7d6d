package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"
	"gorm.io/gorm"

	"windingroom/internal/workshop"
)

// restorePostgres puts a backup into a PostgreSQL database that is empty, or in the place of the shop that is there.
func restorePostgres(ctx context.Context, backup, address string, replace bool) (err error) {
	to, err := Open(ctx, address)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, to.Close()) }()
	if err := to.mayTake(ctx, replace); err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "windingroom-restore-")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	trial := filepath.Join(dir, "trial.db")
	if err := copyFile(backup, trial); err != nil {
		return notRestored(backup, err)
	}
	if err := sound(ctx, trial); err != nil { // it also brings the copy to the newest migration
		return notRestored(backup, err)
	}
	from, err := openSQLite(ctx, trial)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, from.Close()) }()
	if _, _, err := to.Migrate(ctx); err != nil {
		return err
	}
	err = to.copyIn(ctx, from, replace)
	if errors.Is(err, workshop.ErrBusy) {
		return fmt.Errorf("the database is in use; stop the server first: %w", err)
	}
	return err
}

// mayTake refuses before anything is changed what must stay: a shop at an older migration is not even migrated. Whether one at the newest holds
// anything copyIn sees when nobody can write to it.
func (db *DB) mayTake(ctx context.Context, replace bool) error {
	known, err := db.Known(ctx)
	if err != nil || !known || replace {
		return err
	}
	if err := db.Ready(ctx); err != nil {
		return errInTheWay()
	}
	return nil
}

func errInTheWay() error {
	return fmt.Errorf("%w; give --replace to put the backup in its place", ErrInTheWay)
}

// copyIn fills a migrated PostgreSQL database from an SQLite one in one transaction, and verifies it before that commits.
func (db *DB) copyIn(ctx context.Context, from *DB, replace bool) (err error) {
	source, err := from.reader.DB()
	if err != nil {
		return err
	}
	tables, err := tablesOf(ctx, source)
	if err != nil {
		return err
	}
	pool, err := db.writer.DB()
	if err != nil {
		return err
	}
	conn, err := pool.Conn(ctx)
	if err != nil {
		return translate(err)
	}
	defer func() { err = errors.Join(translate(err), conn.Close()) }()
	tx, err := conn.BeginTx(ctx, db.dialect.writeOptions())
	if err != nil {
		return err
	}
	defer func() { _ = tx.Rollback() }() // after a commit it does nothing
	if err := clearTables(ctx, tx, tables, replace); err != nil {
		return err
	}
	for _, t := range tables {
		if err := t.copyInto(ctx, source, conn, tx); err != nil {
			return fmt.Errorf("table %s: %w", t.name, err)
		}
	}
	if err := errors.Join(setTriggers(ctx, tx, tables, "ENABLE"), advanceSequences(ctx, tx)); err != nil {
		return err
	}
	if err := verifyIn(ctx, tx); err != nil {
		return err
	}
	return tx.Commit()
}

// clearTables empties the tables, which it does only where they hold nothing or may be replaced, and keeps everybody out of them until the
// transaction ends. It does not wait long for a program that is in them: two that wait for each other would.
func clearTables(ctx context.Context, tx *sql.Tx, tables []table, replace bool) error {
	names := make([]string, len(tables))
	for i, t := range tables {
		names[i] = `"` + t.name + `"`
	}
	all := strings.Join(names, ", ")
	for _, statement := range []string{"SET LOCAL lock_timeout = '5s'", "LOCK TABLE practice IN EXCLUSIVE MODE", "LOCK TABLE " + all + " IN ACCESS EXCLUSIVE MODE"} {
		if _, err := tx.ExecContext(ctx, statement); err != nil {
			return err
		}
	}
	for _, name := range names {
		var holds bool
		if err := tx.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM "+name+")").Scan(&holds); err != nil {
			return err
		}
		if holds && !replace {
			return errInTheWay()
		}
	}
	if err := setTriggers(ctx, tx, tables, "DISABLE"); err != nil {
		return err
	}
	_, err := tx.ExecContext(ctx, "TRUNCATE "+all)
	return err
}

// setTriggers disables or enables the triggers that judge new facts; those of the foreign keys stay.
func setTriggers(ctx context.Context, tx *sql.Tx, tables []table, how string) error {
	for _, t := range tables {
		if _, err := tx.ExecContext(ctx, fmt.Sprintf(`ALTER TABLE "%s" %s TRIGGER USER`, t.name, how)); err != nil {
			return err
		}
	}
	return nil
}

// copyInto copies the rows of a table through PostgreSQL's COPY, which takes the numbers of identity columns as they are. conn is the one that
// tx runs on.
func (t table) copyInto(ctx context.Context, from querier, conn *sql.Conn, tx *sql.Tx) error {
	_, booleans, err := pairs(ctx, tx, `SELECT column_name, table_name FROM information_schema.columns
		WHERE table_schema = current_schema() AND data_type = 'boolean' AND table_name = '`+t.name+`'`)
	if err != nil {
		return err
	}
	truth := make([]bool, len(t.columns))
	for i, c := range t.columns {
		for _, b := range booleans {
			truth[i] = truth[i] || b == c
		}
	}
	ctx, stop := context.WithCancel(ctx)
	rows, ended := make(chan []any, 64), make(chan error, 1)
	go func() {
		defer close(rows)
		ended <- t.each(ctx, from, func(row []any) error {
			out := make([]any, len(row))
			for i, value := range row {
				out[i] = value
				if n, ok := value.(int64); ok && truth[i] {
					out[i] = n != 0
				}
			}
			select {
			case rows <- out:
				return nil
			case <-ctx.Done():
				return ctx.Err()
			}
		})
	}()
	err = conn.Raw(func(driver any) error {
		_, err := driver.(*stdlib.Conn).Conn().CopyFrom(ctx, pgx.Identifier{t.name}, t.columns, pgx.CopyFromFunc(func() ([]any, error) {
			row, ok := <-rows
			if !ok {
				return nil, nil
			}
			return row, nil
		}))
		return err
	})
	stop()
	if readErr := <-ended; err == nil {
		err = readErr
	}
	return err
}

// advanceSequences lets each sequence go on behind the numbers that are there. RESTART is undone with the transaction, setval would not be.
func advanceSequences(ctx context.Context, tx *sql.Tx) error {
	columns, sequences, err := pairs(ctx, tx, `SELECT seq, max_of FROM (
			SELECT pg_get_serial_sequence(quote_ident(table_name), column_name) AS seq,
				format('SELECT coalesce(max(%I), 0) + 1 FROM %I', column_name, table_name) AS max_of
			FROM information_schema.columns WHERE table_schema = current_schema()) s
		WHERE seq IS NOT NULL AND seq NOT LIKE '%goose_db_version%'`)
	if err != nil {
		return err
	}
	for _, sequence := range sequences {
		var next int64
		if err := tx.QueryRowContext(ctx, columns[sequence][0]).Scan(&next); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, fmt.Sprintf("ALTER SEQUENCE %s RESTART WITH %d", sequence, next)); err != nil {
			return err
		}
	}
	return nil
}

// verifyIn verifies what a transaction sees.
func verifyIn(ctx context.Context, tx *sql.Tx) error {
	conn, err := gorm.Open(postgresOver(tx), postgresDialect.config())
	if err != nil {
		return err
	}
	broken, err := (&reader{db: conn.WithContext(ctx), dialect: postgresDialect}).Discrepancies()
	if err == nil && len(broken) > 0 {
		err = breaks(broken)
	}
	return err
}
