//go:build cgo

package store

import (
	"errors"
	"strings"

	"github.com/mattn/go-sqlite3"

	"windingroom/internal/workshop"
)

// sqliteKind gives the kind of what SQLite says, nil for what it does not know and for what another driver says.
func sqliteKind(err error) error {
	var e sqlite3.Error
	if !errors.As(err, &e) {
		return nil
	}
	switch e.Code {
	case sqlite3.ErrBusy, sqlite3.ErrLocked:
		return workshop.ErrBusy
	case sqlite3.ErrCantOpen, sqlite3.ErrIoErr:
		return workshop.ErrAway
	case sqlite3.ErrFull:
		return workshop.ErrFull
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
