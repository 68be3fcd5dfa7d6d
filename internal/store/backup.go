package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"windingroom/internal/workshop"
)

// ErrNoFile says that a database is not a file, and how it is backed up instead.
var ErrNoFile = errors.New("a PostgreSQL database is backed up with pg_dump --format=custom and restored with pg_restore --clean")

// IsFile says whether the database is a file, which Backup can copy.
func (db *DB) IsFile() bool { return db.dialect == sqliteDialect }

// Backup writes a consistent copy of the database to a file while others read and write. What was there is replaced when the copy is whole,
// and only if it was a database. It fails with ErrNoFile on PostgreSQL.
func (db *DB) Backup(ctx context.Context, path string) error {
	if db.dialect != sqliteDialect {
		return ErrNoFile
	}
	if err := db.seenReady(ctx); err != nil {
		return err
	}
	own, err := db.file(ctx)
	if err != nil {
		return err
	}
	if err := mayHold(path, own); err != nil {
		return err
	}
	part := path + ".part"
	if err := remove(part); err != nil {
		return err
	}
	if err := vacuumInto(ctx, own, part); err != nil {
		return errors.Join(fmt.Errorf("backup to %s: %w", path, err), remove(part))
	}
	if err := errors.Join(quickCheck(ctx, part), os.Chmod(part, 0o600), flush(part)); err != nil {
		return errors.Join(fmt.Errorf("backup to %s: %w", path, err), remove(part))
	}
	return os.Rename(part, path)
}

// file gives the path of the database's file.
func (db *DB) file(ctx context.Context) (path string, err error) {
	err = db.reader.WithContext(ctx).Raw("SELECT file FROM pragma_database_list WHERE name = 'main'").Scan(&path).Error
	return path, translate(err)
}

// vacuumInto copies a database in one read transaction. It has a connection of its own: those that read may write no other file either.
func vacuumInto(ctx context.Context, from, to string) error {
	file, err := fileURI(from)
	if err != nil {
		return err
	}
	pool, err := sql.Open("sqlite3", file+"?mode=rw&_busy_timeout=5000")
	if err != nil {
		return err
	}
	_, err = pool.ExecContext(ctx, "VACUUM INTO ?", to)
	return errors.Join(translate(err), pool.Close())
}

// mayHold says whether a backup may be written to a path: not over the database itself, nor over anything that is no database.
func mayHold(path, own string) error {
	there, err := os.Stat(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if file, err := os.Stat(own); err == nil && os.SameFile(there, file) {
		return fmt.Errorf("%s is the database itself; a backup goes elsewhere", path)
	}
	return looksLikeDatabase(path)
}

// magic is how every SQLite file begins (SQLite, Database File Format, section 1.3, from memory).
const magic = "SQLite format 3\x00"

func looksLikeDatabase(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	head := make([]byte, len(magic))
	if _, err := io.ReadFull(f, head); err != nil || string(head) != magic {
		return fmt.Errorf("%s: %w", path, ErrDamaged)
	}
	return nil
}

// quickCheck has SQLite look through a file that nobody else uses.
func quickCheck(ctx context.Context, path string) error {
	file, err := fileURI(path)
	if err != nil {
		return err
	}
	pool, err := sql.Open("sqlite3", file+"?mode=ro&immutable=1")
	if err != nil {
		return err
	}
	var said string
	err = pool.QueryRowContext(ctx, "PRAGMA quick_check(1)").Scan(&said)
	if err == nil && said != "ok" {
		err = fmt.Errorf("%w: %s", ErrDamaged, said)
	}
	return errors.Join(translate(err), pool.Close())
}

// flush has the disk keep a file before its name is given away.
func flush(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

func remove(path string) error {
	if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return nil
}

// CheckBackup tries a backup out: it restores it into a folder of its own, brings it to the newest migration, and gives what verify finds
// there. The backup itself is only read.
func CheckBackup(ctx context.Context, path string) (broken []workshop.Discrepancy, err error) {
	dir, err := os.MkdirTemp("", "windingroom-restore-test-")
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	trial := filepath.Join(dir, "trial.db")
	if err := copyFile(path, trial); err != nil {
		return nil, err
	}
	return verifyFile(ctx, trial)
}

// verifyFile opens a database file that nobody else uses, migrates it and verifies it.
func verifyFile(ctx context.Context, path string) (broken []workshop.Discrepancy, err error) {
	if err := errors.Join(looksLikeDatabase(path), quickCheck(ctx, path)); err != nil {
		return nil, err
	}
	db, err := openSQLite(ctx, path)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	if at, err := db.version(ctx); err != nil || at == 0 {
		return nil, errors.Join(fmt.Errorf("%s is no database of this program", path), err)
	}
	if _, _, err := db.Migrate(ctx); err != nil {
		return nil, err
	}
	err = db.Read(ctx, func(r workshop.Reader) error {
		broken, err = r.Discrepancies()
		return err
	})
	return broken, err
}

func copyFile(from, to string) (err error) {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Sync(), out.Close())
}
