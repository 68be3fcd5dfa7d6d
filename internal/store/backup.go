package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"os"
)

// Backup writes a consistent copy of the database to a file while others read and write: an SQLite database of the newest migration, whichever
// database is copied. What was there stays unless replace allows it, and is replaced when the copy is whole, and only if it was a database.
func (db *DB) Backup(ctx context.Context, path string, replace bool) error {
	if err := db.seenReady(ctx); err != nil {
		return err
	}
	if err := db.mayHold(ctx, path, replace); err != nil {
		return err
	}
	part := path + ".part"
	if err := startFile(part); err != nil {
		return CannotWrite(path, err)
	}
	err := db.copyTo(ctx, part)
	if err == nil {
		err = errors.Join(quickCheck(ctx, part), flush(part))
	}
	if err != nil {
		return errors.Join(fmt.Errorf("backup to %s: %w", path, err), removeDatabase(part))
	}
	if err := os.Rename(part, path); err != nil {
		return CannotWrite(path, err)
	}
	return nil
}

// copyTo copies the database into an empty file.
func (db *DB) copyTo(ctx context.Context, part string) error {
	if db.dialect != sqliteDialect {
		return db.copyOut(ctx, part)
	}
	own, err := db.file(ctx)
	if err != nil {
		return err
	}
	return vacuumInto(ctx, own, part)
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

// mayHold says whether a backup may be written to a path: not over the database itself, nor over anything that is no database, nor over a
// database unless it may be replaced.
func (db *DB) mayHold(ctx context.Context, path string, replace bool) error {
	there, err := os.Stat(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return CannotWrite(path, err)
	}
	if db.dialect == sqliteDialect {
		own, err := db.file(ctx)
		if err != nil {
			return err
		}
		if file, err := os.Stat(own); err == nil && os.SameFile(there, file) {
			return fmt.Errorf("%s is the database itself; a backup goes elsewhere", path)
		}
	}
	if err := looksLikeDatabase(path); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	if !replace {
		return fmt.Errorf("%s: %w; give --replace to put the backup in its place", path, ErrInTheWay)
	}
	return nil
}

// startFile makes an empty file that only its owner reads, in the place of what an earlier try left.
func startFile(path string) error {
	if err := removeDatabase(path); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	return f.Close()
}

// CannotWrite says in a sentence why a file cannot be written, under the name that was asked for: what it was written by on the way is
// nobody's concern.
func CannotWrite(path string, err error) error {
	var within *os.PathError
	var moved *os.LinkError
	switch {
	case errors.Is(err, os.ErrNotExist):
		return fmt.Errorf("cannot write %s: no such folder", path)
	case errors.Is(err, os.ErrPermission):
		return fmt.Errorf("cannot write %s: not allowed", path)
	case errors.As(err, &within):
		err = within.Err
	case errors.As(err, &moved):
		err = moved.Err
	}
	return fmt.Errorf("cannot write %s: %w", path, err)
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
		return ErrDamaged
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

// removeDatabase removes a database file with what SQLite keeps beside it.
func removeDatabase(path string) error {
	var errs []error
	for _, end := range []string{"", "-wal", "-shm", "-journal"} {
		errs = append(errs, remove(path+end))
	}
	return errors.Join(errs...)
}

func remove(path string) error {
	if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return nil
}
