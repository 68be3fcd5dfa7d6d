package store_test

import (
	"database/sql"
	"errors"
	"path/filepath"
	"testing"

	"windingroom/internal/store"
)

// Another program's SQLite file gets none of our tables.
func TestForeignFile(t *testing.T) {
	file := filepath.Join(t.TempDir(), "other.db")
	other, err := sql.Open("sqlite3", file)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := other.Exec("CREATE TABLE recipes_of_my_grandmother (name TEXT)"); err != nil {
		t.Fatal(err)
	}
	if err := other.Close(); err != nil {
		t.Fatal(err)
	}
	db, err := store.Open(t.Context(), "sqlite:"+file)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if err := db.MigrateNew(t.Context()); !errors.Is(err, store.ErrForeign) {
		t.Errorf("got %v", err)
	}
	if _, _, err := db.Migrate(t.Context()); !errors.Is(err, store.ErrForeign) {
		t.Errorf("got %v", err)
	}
}
