// Package store keeps the shop's facts in SQLite or PostgreSQL with GORM. It implements workshop.Store and decides nothing:
// the schema (package migrations) and guarded statements keep the ledger sound, the trade packages decide everything else.
//
// On both databases one transaction writes at a time and readers see a consistent snapshot, so a use case that tests on
// SQLite behaves the same on PostgreSQL: what it read stays true until it commits, and deadlocks cannot arise.
package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"sync/atomic"
	"time"

	"gorm.io/gorm"
	"gorm.io/gorm/logger"

	"windingroom/internal/workshop"
)

// DB is an open database. It is safe for use by many goroutines.
type DB struct {
	dialect dialect
	writer  *gorm.DB
	reader  *gorm.DB
	pools   []*sql.DB // the reader first: the last to close folds the write-ahead log back, which a reader may not
	queue   *queue
	ready   atomic.Bool // once seen ready, it stays so while the program runs
}

var _ workshop.Store = (*DB)(nil)

// Open opens the database at an address: sqlite:PATH, which makes the file where there is none, or postgres://…. It does
// not migrate; until Migrate has run, everything but Migrate fails with workshop.ErrNotReady.
func Open(ctx context.Context, address string) (*DB, error) {
	scheme, path, _ := strings.Cut(address, ":")
	switch scheme {
	case "sqlite":
		return openSQLite(ctx, path)
	case "postgres", "postgresql":
		return openPostgres(ctx, address)
	}
	return nil, fmt.Errorf("the database address must be sqlite:PATH or postgres://…, and starts with %q", scheme)
}

// newDB puts GORM over the pools; where it cannot, it closes them.
func newDB(d dialect, dialector func(*sql.DB) gorm.Dialector, writer, reader *sql.DB) (*DB, error) {
	db := &DB{dialect: d, pools: []*sql.DB{reader, writer}, queue: newQueue()}
	var errs [2]error
	db.writer, errs[0] = gorm.Open(dialector(writer), d.config())
	db.reader, errs[1] = gorm.Open(dialector(reader), d.config())
	if err := errors.Join(errs[:]...); err != nil {
		return nil, errors.Join(translate(err), db.Close())
	}
	return db, nil
}

// Close closes all connections.
func (db *DB) Close() error {
	errs := make([]error, len(db.pools))
	for i, pool := range db.pools {
		errs[i] = pool.Close()
	}
	return errors.Join(errs...)
}

// Read runs fn on one consistent snapshot. It never waits for a writer.
func (db *DB) Read(ctx context.Context, fn func(workshop.Reader) error) error {
	if err := db.seenReady(ctx); err != nil {
		return err
	}
	var failed error
	err := db.reader.WithContext(ctx).Transaction(func(tx *gorm.DB) error {
		failed = fn(&reader{db: tx, dialect: db.dialect})
		return failed
	}, db.dialect.readOptions())
	if failed != nil {
		return failed // as fn gave it
	}
	return translate(err)
}

// attempts bounds how often a transaction is tried when the database, not fn, gave it up.
const attempts = 6

// InTx runs fn in a transaction that no other one writes beside, and commits what it wrote, or nothing when fn fails. When
// another program at the same database gets in the way (a lock held too long, a deadlock), fn runs again from the start:
// it must have no effect outside the transaction.
func (db *DB) InTx(ctx context.Context, fn func(workshop.Tx) error) error {
	if err := db.seenReady(ctx); err != nil {
		return err
	}
	var err error
	for attempt := range attempts {
		err = db.submit(ctx, fn)
		if p := (panicked{}); errors.As(err, &p) {
			panic(p.value)
		}
		if !passing(err) {
			return err
		}
		if err := pause(ctx, attempt); err != nil {
			return err
		}
	}
	return err
}

// pause waits a little longer each time, by a random share so that two programs do not meet again.
func pause(ctx context.Context, attempt int) error {
	wait := time.Duration(rand.Int64N(int64(20*time.Millisecond) << attempt))
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-time.After(wait):
		return nil
	}
}

// config gives GORM's settings.
func (d dialect) config() *gorm.Config {
	return &gorm.Config{
		PrepareStmt:            d == sqliteDialect, // pgx prepares by itself; twice is slower than not at all
		SkipDefaultTransaction: true,               // InTx owns transactions
		TranslateError:         true,
		DisableAutomaticPing:   true,
		Logger:                 logger.Discard, // errors go up to whoever asked
		NowFunc:                func() time.Time { return time.Now().UTC() },
	}
}
