package store

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"windingroom/internal/workshop"
)

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
	if err := looksLikeDatabase(path); err != nil {
		return nil, err
	}
	if err := quickCheck(ctx, path); err != nil {
		return nil, err
	}
	db, err := openSQLite(ctx, path)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	if known, err := db.Known(ctx); err != nil || !known {
		return nil, errors.Join(errors.New("it is no database of this program"), err)
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

// sound verifies a database file.
func sound(ctx context.Context, path string) error {
	broken, err := verifyFile(ctx, path)
	if err == nil && len(broken) > 0 {
		err = breaks(broken)
	}
	return err
}

// breaks names the first invariant that is broken.
func breaks(broken []workshop.Discrepancy) error {
	return fmt.Errorf("%s: %s: %s", broken[0].Invariant, broken[0].Subject, broken[0].Detail)
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
