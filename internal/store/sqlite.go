package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"path/filepath"
	"runtime"
	"strings"

	_ "github.com/mattn/go-sqlite3" // the driver "sqlite3"
	"gorm.io/driver/sqlite"
	"gorm.io/gorm"
)

// The options must stand in the address: a PRAGMA by statement reaches one connection of a pool only.
// One writing connection, because SQLite lets one write at a time and the queue of database/sql is fair where SQLite's own
// waiting is not. FULL, because the driver is built so that WAL alone means NORMAL, which may lose the last commits in a
// power cut. IMMEDIATE, because a transaction that reads first and then wants to write would fail at once when another
// wrote in between.
const (
	writerOptions = "?_journal_mode=WAL&_synchronous=FULL&_foreign_keys=on&_busy_timeout=5000&_txlock=immediate"
	readerOptions = "?mode=ro&_query_only=1&_foreign_keys=on&_busy_timeout=5000"
)

func openSQLite(ctx context.Context, path string) (*DB, error) {
	file, err := fileURI(path)
	if err != nil {
		return nil, err
	}
	writer, err := sql.Open("sqlite3", file+writerOptions)
	if err != nil {
		return nil, err
	}
	writer.SetMaxOpenConns(1)
	writer.SetMaxIdleConns(1)
	writer.SetConnMaxLifetime(0)
	if err := checkPragmas(ctx, writer); err != nil {
		return nil, errors.Join(fmt.Errorf("open the database %s: %w", path, translate(err)), writer.Close())
	}
	reader, err := sql.Open("sqlite3", file+readerOptions)
	if err != nil {
		return nil, errors.Join(err, writer.Close())
	}
	readers := 2 * runtime.GOMAXPROCS(0)
	reader.SetMaxOpenConns(readers)
	reader.SetMaxIdleConns(readers)
	return newDB(sqliteDialect, sqliteDialector, writer, reader)
}

func sqliteDialector(pool *sql.DB) gorm.Dialector { return sqlite.New(sqlite.Config{Conn: pool}) }

// fileURI gives the path as a URI, so that blanks and the signs ?, # and % in it mean themselves.
func fileURI(path string) (string, error) {
	if path == "" {
		return "", errors.New("the database address names no file: sqlite:PATH")
	}
	abs, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	abs = "/" + strings.TrimPrefix(filepath.ToSlash(abs), "/") // C:/shop.db becomes /C:/shop.db
	return (&url.URL{Scheme: "file", Path: abs}).String(), nil
}

// checkPragmas makes sure that the options took hold: each guards against losing or spoiling what was written.
func checkPragmas(ctx context.Context, writer *sql.DB) error {
	for pragma, want := range map[string]string{"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1"} {
		var got string
		if err := writer.QueryRowContext(ctx, "PRAGMA "+pragma).Scan(&got); err != nil {
			return err
		}
		if got != want {
			return fmt.Errorf("PRAGMA %s is %s and must be %s: the file system may not support it", pragma, got, want)
		}
	}
	return nil
}
