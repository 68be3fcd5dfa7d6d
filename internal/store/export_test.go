package store

import (
	"gorm.io/gorm"

	"windingroom/internal/workshop"
)

// For the tests outside the package: they use testkit, which uses the store.

// Raw gives the connection that writes, to go past the store.
func (db *DB) Raw() *gorm.DB { return db.writer }

// IsSQLite says which database it is.
func (db *DB) IsSQLite() bool { return db.dialect == sqliteDialect }

// RawReader gives the connections that only read.
func (db *DB) RawReader() *gorm.DB { return db.reader }

// Translate is translate.
func Translate(err error) error { return translate(err) }

// ReaderIn reads inside a transaction of Raw.
func (db *DB) ReaderIn(tx *gorm.DB) workshop.Reader { return &reader{db: tx, dialect: db.dialect} }

// TxIn writes inside a transaction of Raw.
func (db *DB) TxIn(gtx *gorm.DB) workshop.Tx { return &tx{reader{db: gtx, dialect: db.dialect}} }
