package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"runtime"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"
	"gorm.io/driver/postgres"
	"gorm.io/gorm"
)

// openPostgres opens one connection that writes, as for SQLite, and others that read: one writes at a time anyway, and those
// who wait for it must not hold what readers need.
func openPostgres(ctx context.Context, address string) (*DB, error) {
	writer, err := postgresPool(ctx, address, 1)
	if err != nil {
		return nil, err
	}
	reader, err := postgresPool(ctx, address, 2*runtime.GOMAXPROCS(0))
	if err != nil {
		return nil, errors.Join(err, writer.Close())
	}
	return newDB(postgresDialect, postgresDialector, writer, reader)
}

func postgresPool(ctx context.Context, address string, connections int) (*sql.DB, error) {
	pool, err := sql.Open("pgx", address)
	if err != nil {
		return nil, fmt.Errorf("open the database: %w", err)
	}
	pool.SetMaxOpenConns(connections)
	pool.SetMaxIdleConns(connections)
	pool.SetConnMaxIdleTime(5 * time.Minute)
	if err := pool.PingContext(ctx); err != nil {
		return nil, errors.Join(fmt.Errorf("open the database: %w", err), pool.Close())
	}
	return pool, nil
}

func postgresDialector(pool *sql.DB) gorm.Dialector { return postgres.New(postgres.Config{Conn: pool}) }
