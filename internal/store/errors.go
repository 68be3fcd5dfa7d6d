package store

import (
	"errors"
	"fmt"
	"strings"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/mattn/go-sqlite3"
	"gorm.io/gorm"

	"windingroom/internal/workshop"
)

// What the database may refuse beyond what workshop names.
var (
	ErrAppendOnly = errors.New("the ledger and the audit are only ever added to")
	ErrFull       = errors.New("the disk is full; nothing was written")
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
	case errors.Is(err, gorm.ErrDuplicatedKey):
		return fmt.Errorf("%w (%w)", workshop.ErrExists, err)
	case errors.Is(err, gorm.ErrForeignKeyViolated):
		return fmt.Errorf("%w (%w)", ErrRefers, err)
	}
	var lite sqlite3.Error
	var pg *pgconn.PgError
	var kind error
	switch {
	case errors.As(err, &lite):
		kind = sqliteKind(lite)
	case errors.As(err, &pg):
		kind = postgresKind(pg)
	}
	if kind == nil {
		return err
	}
	return fmt.Errorf("%w (%w)", kind, err)
}

// known says whether the error was translated before.
func known(err error) bool {
	for _, e := range []error{workshop.ErrNotFound, workshop.ErrExists, workshop.ErrClosed, workshop.ErrNotReady,
		ErrAppendOnly, workshop.ErrBusy, ErrFull, ErrReadOnly, ErrDamaged, ErrRefers, ErrRule} {
		if errors.Is(err, e) {
			return true
		}
	}
	return false
}

func sqliteKind(e sqlite3.Error) error {
	switch e.Code {
	case sqlite3.ErrBusy, sqlite3.ErrLocked:
		return workshop.ErrBusy
	case sqlite3.ErrFull:
		return ErrFull
	case sqlite3.ErrReadonly, sqlite3.ErrPerm:
		return ErrReadOnly
	case sqlite3.ErrCorrupt, sqlite3.ErrNotADB:
		return ErrDamaged
	case sqlite3.ErrConstraint:
		return sqliteConstraint(e)
	}
	return nil
}

func sqliteConstraint(e sqlite3.Error) error {
	switch e.ExtendedCode {
	case sqlite3.ErrConstraintPrimaryKey, sqlite3.ErrConstraintUnique, sqlite3.ErrConstraintRowID:
		return workshop.ErrExists
	case sqlite3.ErrConstraintForeignKey:
		return ErrRefers
	case sqlite3.ErrConstraintTrigger:
		if strings.HasPrefix(e.Error(), appendOnlyMark) {
			return ErrAppendOnly
		}
		if strings.HasPrefix(e.Error(), closedMonthMark) {
			return workshop.ErrClosed
		}
	}
	return ErrRule
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
	case "53100": // disk_full
		return ErrFull
	case "25006": // read_only_sql_transaction
		return ErrReadOnly
	}
	return nil
}

// passing says whether the same transaction may well succeed when it is tried again.
func passing(err error) bool { return errors.Is(translate(err), workshop.ErrBusy) }
