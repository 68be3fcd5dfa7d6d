package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"
)

// copyOut copies a PostgreSQL database, as one snapshot shows it, into an empty file that becomes an SQLite database.
func (db *DB) copyOut(ctx context.Context, path string) (err error) {
	if err := schemaInto(ctx, path); err != nil {
		return err
	}
	reader, err := db.reader.DB()
	if err != nil {
		return err
	}
	from, err := reader.BeginTx(ctx, db.dialect.readOptions())
	if err != nil {
		return translate(err)
	}
	defer func() { _ = from.Rollback() }()
	file, err := fileURI(path)
	if err != nil {
		return err
	}
	// Nobody else sees the file yet, and one that is not finished is thrown away: no journal, and the disk is waited for once, at the end.
	pool, err := sql.Open("sqlite3", file+"?mode=rw&_foreign_keys=off&_journal_mode=OFF&_synchronous=OFF")
	if err != nil {
		return err
	}
	pool.SetMaxOpenConns(1)
	defer func() { err = errors.Join(translate(err), pool.Close()) }()
	to, err := pool.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	if err := copyTables(ctx, from, to); err != nil {
		return errors.Join(err, to.Rollback())
	}
	return to.Commit()
}

// schemaInto gives an empty file the schema of the newest migration.
func schemaInto(ctx context.Context, path string) error {
	db, err := openSQLite(ctx, path)
	if err != nil {
		return err
	}
	_, _, err = db.Migrate(ctx)
	return errors.Join(err, db.Close())
}

// copyTables fills an SQLite database that has the schema and no rows. The triggers, which judge new facts, come back behind the old ones.
func copyTables(ctx context.Context, from querier, to *sql.Tx) error {
	tables, err := tablesOf(ctx, to)
	if err != nil {
		return err
	}
	triggers, names, err := pairs(ctx, to, "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
	if err != nil {
		return err
	}
	for _, name := range names {
		if _, err := to.ExecContext(ctx, fmt.Sprintf(`DROP TRIGGER "%s"`, name)); err != nil {
			return err
		}
	}
	for _, t := range tables {
		if err := t.fill(ctx, from, to); err != nil {
			return fmt.Errorf("table %s: %w", t.name, err)
		}
	}
	for _, name := range names {
		if _, err := to.ExecContext(ctx, triggers[name][0]); err != nil {
			return err
		}
	}
	return checkReferences(ctx, to)
}

func (t table) fill(ctx context.Context, from querier, to *sql.Tx) (err error) {
	insert, err := to.PrepareContext(ctx, fmt.Sprintf(`INSERT INTO "%s" (%s) VALUES %s`, t.name, t.list(), sqliteDialect.placeholders(0, len(t.columns))))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, insert.Close()) }()
	return t.each(ctx, from, func(row []any) error {
		for i, value := range row {
			if at, ok := value.(time.Time); ok {
				row[i] = at.UTC() // the driver writes the zone, and text compares
			}
		}
		_, err := insert.ExecContext(ctx, row...)
		return err
	})
}

// checkReferences finds rows that refer to what is not there.
func checkReferences(ctx context.Context, tx *sql.Tx) error {
	lost, names, err := pairs(ctx, tx, `SELECT "table", "parent" FROM pragma_foreign_key_check`)
	if err == nil && len(names) > 0 {
		err = fmt.Errorf("%w: a row of %s lacks its row of %s", ErrRefers, names[0], lost[names[0]][0])
	}
	return err
}
