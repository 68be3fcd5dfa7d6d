// Package migrations holds the database schema as numbered SQL files, one folder a dialect. Both folders have the same
// numbers, and after each number both databases have the same tables and columns. A migration that was released is never
// edited; the next number changes what it made. There is no way down: the way back is a backup.
package migrations

import (
	"embed"
	"io/fs"
)

//go:embed sqlite/*.sql postgres/*.sql
var files embed.FS

// SQLite gives the migrations for SQLite.
func SQLite() fs.FS { return folder("sqlite") }

// Postgres gives the migrations for PostgreSQL.
func Postgres() fs.FS { return folder("postgres") }

func folder(name string) fs.FS {
	sub, err := fs.Sub(files, name)
	if err != nil { // only for a name that is no path, and both names above are
		panic(err)
	}
	return sub
}
