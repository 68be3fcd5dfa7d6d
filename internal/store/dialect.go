package store

import (
	"database/sql"
	"fmt"
	"io/fs"
	"strings"

	"github.com/pressly/goose/v3"
	"gorm.io/gorm"

	"windingroom/migrations"
)

// dialect is the little in which the two databases differ.
type dialect string

const (
	sqliteDialect   dialect = "sqlite"
	postgresDialect dialect = "postgres"
)

// readOptions ask for a read-only snapshot. In SQLite the reader pool is read-only and a deferred transaction is a snapshot.
func (d dialect) readOptions() *sql.TxOptions {
	if d == postgresDialect {
		return &sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: true}
	}
	return nil
}

func (d dialect) writeOptions() *sql.TxOptions {
	if d == postgresDialect {
		return &sql.TxOptions{Isolation: sql.LevelRepeatableRead}
	}
	return nil
}

// lockWriters keeps other writers out until the transaction ends. SQLite's BEGIN IMMEDIATE has done so already. PostgreSQL
// takes the snapshot of a repeatable-read transaction after LOCK TABLE, so it sees what the writer before it committed.
// The table is practice because nothing else ever locks it: the ledger's own table would collide with its vacuum.
func (d dialect) lockWriters(tx *gorm.DB) error {
	if d == postgresDialect {
		return tx.Exec("LOCK TABLE practice IN EXCLUSIVE MODE").Error
	}
	return nil
}

func (d dialect) migrations() (goose.Dialect, fs.FS) {
	if d == postgresDialect {
		return goose.DialectPostgres, migrations.Postgres()
	}
	return goose.DialectSQLite3, migrations.SQLite()
}

// rowsPerInsert is how many rows one bulk INSERT carries: SQLite gains nothing from more than one, PostgreSQL saves the
// round trips.
func (d dialect) rowsPerInsert() int {
	if d == postgresDialect {
		return 500
	}
	return 1
}

// placeholders gives the n-th row's parameters of an INSERT of the given width: (?,?) or ($3,$4).
func (d dialect) placeholders(n, width int) string {
	marks := make([]string, width)
	for i := range marks {
		marks[i] = "?"
		if d == postgresDialect {
			marks[i] = fmt.Sprintf("$%d", n*width+i+1)
		}
	}
	return "(" + strings.Join(marks, ",") + ")"
}
