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
// nowhere. A database that is there stays unless replace allows it, and is then kept beside the new one, under the name that is given back. It
// fails while a program has the database open, and with ErrNoFile on PostgreSQL.
func Restore(ctx context.Context, backup, address string, replace bool) (kept string, err error) {
	path, isFile := strings.CutPrefix(address, "sqlite:")
	if !isFile {
		return "", ErrNoFile
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
	for _, end := range []string{"", "-wal", "-shm"} {
		if err := remove(part + end); err != nil {
			return "", err
		}
	}
	if err := copyFile(backup, part); err != nil {
		return "", err
	}
	if err := sound(ctx, part); err != nil {
		return "", errors.Join(fmt.Errorf("%s is not restored: %w", backup, err), remove(part))
	}
	if there {
		kept = path + ".before-restore"
		if err := setAside(ctx, path, kept); err != nil {
			return "", errors.Join(err, remove(part))
		}
	}
	if err := os.Rename(part, path); err != nil {
		return kept, err
	}
	return kept, sound(ctx, path)
}

// sound verifies a database file.
func sound(ctx context.Context, path string) error {
	broken, err := verifyFile(ctx, path)
	if err == nil && len(broken) > 0 {
		err = fmt.Errorf("%s: %s: %s", broken[0].Invariant, broken[0].Subject, broken[0].Detail)
	}
	return err
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
