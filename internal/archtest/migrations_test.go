package archtest

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"
	"testing/fstest"

	"windingroom/internal/testkit"
)

var migrationName = regexp.MustCompile(`^(\d{5})_[a-z0-9_]+\.sql$`)

// migrationNames gives the names of a database's migrations in their order. It fails where one is not named like
// 00001_first.sql or a number is left out or given twice.
func migrationNames(folder fs.FS) ([]string, error) {
	entries, err := fs.ReadDir(folder, ".")
	if err != nil {
		return nil, err
	}
	var names []string
	for _, entry := range entries { // ReadDir sorts by name
		if filepath.Ext(entry.Name()) != ".sql" {
			continue
		}
		number := migrationName.FindStringSubmatch(entry.Name())
		if number == nil {
			return nil, fmt.Errorf("%s is not named like 00001_first.sql", entry.Name())
		}
		if want := fmt.Sprintf("%05d", len(names)+1); number[1] != want {
			return nil, fmt.Errorf("%s stands where %s should", entry.Name(), want)
		}
		names = append(names, entry.Name())
	}
	return names, nil
}

func TestBothDatabasesHaveTheSameMigrations(t *testing.T) {
	root := filepath.Join(testkit.ModuleRoot(t), "migrations")
	if _, err := os.Stat(root); errors.Is(err, fs.ErrNotExist) {
		t.Skip("no migrations yet")
	}
	sqlite, err := migrationNames(os.DirFS(filepath.Join(root, "sqlite")))
	if err != nil {
		t.Fatalf("sqlite: %v", err)
	}
	postgres, err := migrationNames(os.DirFS(filepath.Join(root, "postgres")))
	if err != nil {
		t.Fatalf("postgres: %v", err)
	}
	if len(sqlite) == 0 || !slices.Equal(sqlite, postgres) {
		t.Errorf("sqlite has %q, postgres has %q", sqlite, postgres)
	}
}
func TestMigrationNames(t *testing.T) {
	tests := []struct {
		name  string
		files []string
		fails bool
	}{
		{name: "in order", files: []string{"00001_first.sql", "00002_second.sql", "readme.md"}},
		{name: "a gap", files: []string{"00001_first.sql", "00003_third.sql"}, fails: true},
		{name: "a number twice", files: []string{"00001_first.sql", "00001_other.sql"}, fails: true},
		{name: "not from one", files: []string{"00002_second.sql"}, fails: true},
		{name: "no number", files: []string{"first.sql"}, fails: true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			folder := fstest.MapFS{}
			for _, f := range tt.files {
				folder[f] = &fstest.MapFile{}
			}
			if got, err := migrationNames(folder); (err != nil) != tt.fails {
				t.Errorf("got %q, %v; want an error: %v", got, err, tt.fails)
			}
		})
	}
}
