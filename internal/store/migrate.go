package store

import (
	"context"
	"fmt"

	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"

	"windingroom/internal/workshop"
)

// Migrate brings the database to the newest migration and gives the numbers before and after.
func (db *DB) Migrate(ctx context.Context) (from, to int64, err error) {
	if err := db.refuseForeign(ctx); err != nil {
		return 0, 0, err
	}
	provider, err := db.provider()
	if err != nil {
		return 0, 0, err
	}
	if from, to, err = provider.GetVersions(ctx); err != nil {
		return 0, 0, fmt.Errorf("migrate: %w", translate(err))
	}
	if from > to {
		return from, from, newer(from, to)
	}
	for seen := from; ; {
		_, err := provider.Up(ctx)
		if err == nil {
			return from, to, nil
		}
		at, e := db.version(ctx)
		if e == nil && at == to {
			return from, to, nil // another program was quicker
		}
		if e != nil || at <= seen {
			return from, from, fmt.Errorf("migrate from %d to %d: %w", from, to, translate(err))
		}
		seen = at // another program is at it: on from where that one stands
	}
}

// MigrateNew migrates a database that never saw a migration and leaves every other one alone.
func (db *DB) MigrateNew(ctx context.Context) error {
	at, err := db.version(ctx)
	if err != nil || at > 0 {
		return err
	}
	_, _, err = db.Migrate(ctx)
	return err
}

// refuseForeign keeps our tables out of a file that another program has filled. On PostgreSQL whoever names a database has made
// it for this, and it may well hold extensions' tables.
func (db *DB) refuseForeign(ctx context.Context) error {
	if db.dialect != sqliteDialect {
		return nil
	}
	at, err := db.version(ctx)
	if err != nil || at > 0 {
		return err
	}
	var tables int64
	err = db.reader.WithContext(ctx).Raw(
		"SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND name <> 'goose_db_version'").Scan(&tables).Error
	if err != nil || tables == 0 {
		return translate(err)
	}
	if at, err := db.version(ctx); err != nil || at > 0 {
		return err // another program has made it a shop's meanwhile
	}
	return ErrForeign
}

// Known says whether the database has been a shop's before.
func (db *DB) Known(ctx context.Context) (bool, error) {
	at, err := db.version(ctx)
	return at > 0, err
}

// Ready says whether the database answers and stands at the newest migration; workshop.ErrNotReady says that it does not.
func (db *DB) Ready(ctx context.Context) error {
	provider, err := db.provider()
	if err != nil {
		return err
	}
	sources := provider.ListSources()
	newest := sources[len(sources)-1].Version
	at, err := db.version(ctx)
	switch {
	case err != nil:
		return fmt.Errorf("%w: %w", workshop.ErrNotReady, err)
	case at > newest:
		return newer(at, newest)
	case at < newest:
		return fmt.Errorf("%w: it stands at migration %d of %d; run windingroom migrate", workshop.ErrNotReady, at, newest)
	}
	db.ready.Store(true)
	return nil
}

func newer(at, newest int64) error {
	return fmt.Errorf("%w: it stands at migration %d and this program knows %d; run a newer windingroom", workshop.ErrNotReady, at, newest)
}

// seenReady asks only until the answer was yes once.
func (db *DB) seenReady(ctx context.Context) error {
	if db.ready.Load() {
		return nil
	}
	return db.Ready(ctx)
}

// version gives the newest migration that was applied, 0 for a database that never saw one. It only reads, unlike goose.
func (db *DB) version(ctx context.Context) (int64, error) {
	conn := db.reader.WithContext(ctx)
	table := "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name = 'goose_db_version'"
	if db.dialect == postgresDialect {
		table = "SELECT count(*) FROM (SELECT to_regclass('goose_db_version') AS found) t WHERE found IS NOT NULL"
	}
	var n, at int64
	if err := conn.Raw(table).Scan(&n).Error; err != nil || n == 0 {
		return 0, translate(err)
	}
	err := conn.Raw("SELECT coalesce(max(version_id), 0) FROM goose_db_version WHERE is_applied").Scan(&at).Error
	return at, translate(err)
}

func (db *DB) provider() (*goose.Provider, error) {
	d, files := db.dialect.migrations()
	pool, err := db.writer.DB()
	if err != nil {
		return nil, err
	}
	if d != goose.DialectPostgres {
		return goose.NewProvider(d, pool, files)
	}
	locker, err := lock.NewPostgresSessionLocker(lock.WithLockTimeout(1, 60)) // so that two servers which start at once do not both migrate
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(d, pool, files, goose.WithSessionLocker(locker))
}
