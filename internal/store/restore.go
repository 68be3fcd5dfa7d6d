package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"strings"

	"windingroom/internal/workshop"
)

// ErrInTheWay says that a database is there already.
var ErrInTheWay = errors.New("there is a database already")

// Restore puts a backup in the place of the database at an address. It is verified before and after; one that breaks an invariant is put
// nowhere. A database that is there stays unless replace allows it. An SQLite database is then kept beside the new one, under the name that is
// given back; it fails while a program has that open. In PostgreSQL the shop that was there is gone, in the transaction that brings the other.
func Restore(ctx context.Context, backup, address string, replace bool) (kept string, err error) {
	if err := backupThere(backup); err != nil {
		return "", err
	}
	path, isFile := strings.CutPrefix(address, "sqlite:")
	if !isFile {
		return "", restorePostgres(ctx, backup, address, replace)
	}
	_, err = os.Stat(path)
	there := err == nil
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return "", err
	}
	if there && !replace {
		return "", fmt.Errorf("%s: %w; give --replace to put the backup in its place", path, ErrInTheWay)
	}
	part := path + ".restore"
	if err := removeDatabase(part); err != nil {
		return "", CannotWrite(path, err)
	}
	if err := copyFile(backup, part); err != nil {
		return "", errors.Join(CannotWrite(path, err), removeDatabase(part))
	}
	if err := sound(ctx, part); err != nil {
		return "", errors.Join(notRestored(backup, err), removeDatabase(part))
	}
	if there {
		kept = path + ".before-restore"
		if err := setAside(ctx, path, kept); err != nil {
			return "", errors.Join(err, remove(part))
		}
	}
	if err := os.Rename(part, path); err != nil {
		return kept, CannotWrite(path, err)
	}
	return kept, sound(ctx, path)
}

// backupThere says whether there is a file to restore that may be a backup.
func backupThere(path string) error {
	there, err := os.Stat(path)
	if err == nil && !there.Mode().IsRegular() {
		return fmt.Errorf("%s is no file", path)
	}
	if err == nil {
		err = looksLikeDatabase(path)
	}
	switch in := (*os.PathError)(nil); {
	case errors.Is(err, os.ErrNotExist):
		return fmt.Errorf("%s: no such file", path)
	case errors.As(err, &in):
		err = in.Err
	}
	return notRestored(path, err)
}

func notRestored(path string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s is not restored: %w", path, err)
}

// setAside gives a database another name, when no program has it open: one that had would go on writing into the file that was set aside. Every
// open connection in WAL mode holds a lock that exclusive mode collides with.
func setAside(ctx context.Context, path, kept string) error {
	file, err := fileURI(path)
	if err != nil {
		return err
	}
	pool, err := sql.Open("sqlite3", file+"?_locking_mode=EXCLUSIVE&_txlock=exclusive&_busy_timeout=500")
	if err != nil {
		return err
	}
	pool.SetMaxOpenConns(1)
	tx, err := pool.BeginTx(ctx, nil)
	if err == nil {
		err = tx.Rollback()
	}
	if err = translate(errors.Join(err, pool.Close())); err != nil {
		if errors.Is(err, workshop.ErrBusy) {
			return fmt.Errorf("%s is in use; stop the server first: %w", path, err)
		}
		if !errors.Is(err, ErrDamaged) { // what is damaged is what a backup is for
			return err
		}
	}
	for _, end := range []string{"-wal", "-shm"} {
		if err := remove(path + end); err != nil {
			return err
		}
	}
	return os.Rename(path, kept)
}
