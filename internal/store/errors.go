package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
	"net"

	"github.com/jackc/pgx/v5/pgconn"
	"gorm.io/gorm"

	"windingroom/internal/workshop"
)

// What the database may refuse beyond what workshop names.
var (
	ErrAppendOnly = errors.New("the ledger and the audit are only ever added to")
	ErrForeign    = errors.New("the file is another program's database; name a file of its own for the shop")
	ErrReadOnly   = errors.New("the database cannot be written to")
	ErrDamaged    = errors.New("the file is damaged or is no database")
	ErrRefers     = errors.New("refers to something that is not there, or that something else still needs")
	ErrRule       = errors.New("breaks a rule of the database")
)

// The messages of the triggers begin so, in both dialects.
const (
	appendOnlyMark  = "append only: "
	closedMonthMark = "closed month: "
)

// translate turns what GORM or a driver says into the errors that workshop and this package name; the original stays in
// the chain. What it does not know it gives back.
func translate(err error) error {
	switch {
	case err == nil:
		return nil
	case known(err):
		return err
	case errors.Is(err, gorm.ErrRecordNotFound):
		return workshop.ErrNotFound
	case lost(err):
		return fmt.Errorf("%w (%w)", workshop.ErrAway, err)
	case errors.Is(err, gorm.ErrDuplicatedKey):
		return fmt.Errorf("%w (%w)", workshop.ErrExists, err)
	case errors.Is(err, gorm.ErrForeignKeyViolated):
		return fmt.Errorf("%w (%w)", ErrRefers, err)
	}
	kind := sqliteKind(err)
	if pg := (*pgconn.PgError)(nil); errors.As(err, &pg) {
		kind = postgresKind(pg)
	}
	if kind == nil {
		return err
	}
	return fmt.Errorf("%w (%w)", kind, err)
}

// known says whether the error was translated before.
func known(err error) bool {
	for _, e := range []error{workshop.ErrNotFound, workshop.ErrExists, workshop.ErrClosed, workshop.ErrNotReady, workshop.ErrAway,
		ErrAppendOnly, workshop.ErrBusy, workshop.ErrFull, ErrReadOnly, ErrDamaged, ErrRefers, ErrRule} {
		if errors.Is(err, e) {
			return true
		}
	}
	return false
}

// lost says whether the connection to the database is gone, or cannot be made. Who gave up waiting did not lose it.
func lost(err error) bool {
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return false
	}
	var network net.Error
	var refused *pgconn.ConnectError
	if errors.As(err, &network) || errors.As(err, &refused) || pgconn.SafeToRetry(err) { // the last: nothing could be sent
		return true
	}
	for _, e := range []error{driver.ErrBadConn, sql.ErrConnDone, io.EOF, io.ErrUnexpectedEOF, net.ErrClosed} {
		if errors.Is(err, e) {
			return true
		}
	}
	return false
}

// The codes are those of PostgreSQL's appendix "Error Codes"; WR001 and WR002 are the triggers' own.
func postgresKind(e *pgconn.PgError) error {
	switch e.Code {
	case "WR001":
		return ErrAppendOnly
	case "WR002":
		return workshop.ErrClosed
	case "23505": // unique_violation
		return workshop.ErrExists
	case "23503": // foreign_key_violation
		return ErrRefers
	case "23502", "23514": // not_null_violation, check_violation
		return ErrRule
	case "40001", "40P01", "55P03": // serialization_failure, deadlock_detected, lock_not_available
		return workshop.ErrBusy
	case "57P01", "57P02", "57P03", "08000", "08003", "08006": // shut down, crashed, not started yet, connection lost
		return workshop.ErrAway
	case "53100": // disk_full
		return workshop.ErrFull
	case "25006": // read_only_sql_transaction
		return ErrReadOnly
	}
	return nil
}

// passing says whether the same transaction may well succeed when it is tried again.
func passing(err error) bool { return errors.Is(translate(err), workshop.ErrBusy) }
