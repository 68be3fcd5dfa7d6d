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

func openPostgres(ctx context.Context, address string) (*DB, error) {
	pool, err := sql.Open("pgx", address)
	if err != nil {
		return nil, fmt.Errorf("open the database: %w", err)
	}
	connections := 4 + 2*runtime.GOMAXPROCS(0) // some wait for the one that writes
	pool.SetMaxOpenConns(connections)
	pool.SetMaxIdleConns(connections)
	pool.SetConnMaxIdleTime(5 * time.Minute)
	if err := pool.PingContext(ctx); err != nil {
		return nil, errors.Join(fmt.Errorf("open the database: %w", err), pool.Close())
	}
	return newDB(postgresDialect, postgresDialector, pool, pool)
}

func postgresDialector(pool *sql.DB) gorm.Dialector { return postgres.New(postgres.Config{Conn: pool}) }

// newDB puts GORM over the pools; where it cannot, it closes them.
func newDB(d dialect, dialector func(*sql.DB) gorm.Dialector, writer, reader *sql.DB) (*DB, error) {
	db := &DB{dialect: d, pools: []*sql.DB{writer}}
	if reader != writer {
		db.pools = append(db.pools, reader)
	}
	config := gormConfig()
	config.PrepareStmt = d == sqliteDialect // pgx prepares by itself; twice is slower than not at all
	var err error
	if db.writer, err = gorm.Open(dialector(writer), config); err != nil {
		return nil, errors.Join(translate(err), db.Close())
	}
	db.reader = db.writer
	if reader == writer {
		return db, nil
	}
	config = gormConfig()
	config.PrepareStmt = d == sqliteDialect
	if db.reader, err = gorm.Open(dialector(reader), config); err != nil {
		return nil, errors.Join(translate(err), db.Close())
	}
	return db, nil
}
