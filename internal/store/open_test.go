package store_test

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"windingroom/internal/store"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

func TestMigrate(t *testing.T) {
	for name, address := range map[string]func(testing.TB) string{"sqlite": sqliteAddress, "postgres": testkit.Postgres} {
		t.Run(name, func(t *testing.T) {
			db := opened(t, address(t))
			refused := map[string]error{
				"ready": db.Ready(t.Context()),
				"read":  db.Read(t.Context(), func(workshop.Reader) error { t.Error("read an empty database"); return nil }),
				"write": db.InTx(t.Context(), func(workshop.Tx) error { t.Error("wrote an empty database"); return nil }),
			}
			for what, err := range refused {
				if !errors.Is(err, workshop.ErrNotReady) || !strings.Contains(err.Error(), "run windingroom migrate") {
					t.Errorf("%s before migrating: %v", what, err)
				}
			}
			from, to, err := db.Migrate(t.Context())
			if err != nil || from != 0 || to < 1 {
				t.Fatalf("migrated from %d to %d: %v", from, to, err)
			}
			if err := db.Ready(t.Context()); err != nil {
				t.Error(err)
			}
			fill(t, db)
			for _, again := range []func() error{
				func() error { return db.MigrateNew(t.Context()) },
				func() error {
					from, at, err := db.Migrate(t.Context())
					if from != to || at != to {
						t.Errorf("migrated again from %d to %d", from, at)
					}
					return err
				},
			} {
				if err := again(); err != nil {
					t.Error(err)
				}
			}
			same(t, "spools", balances())(answered(t, db, workshop.Reader.Spools), nil)
		})
	}
}

func TestTwoProgramsMigrateAtOnce(t *testing.T) {
	for name, address := range map[string]func(testing.TB) string{"sqlite": sqliteAddress, "postgres": testkit.Postgres} {
		t.Run(name, func(t *testing.T) {
			where := address(t)
			var group sync.WaitGroup
			for range 3 {
				db := opened(t, where)
				group.Go(func() {
					if _, to, err := db.Migrate(t.Context()); err != nil || to < 1 {
						t.Errorf("migrated to %d: %v", to, err)
					}
				})
			}
			group.Wait()
		})
	}
}

func TestNewerDatabaseIsRefused(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		raw(t, db, "INSERT INTO goose_db_version (version_id, is_applied) VALUES (99999, "+map[bool]string{true: "1", false: "true"}[db.IsSQLite()]+")")
		_, _, err := db.Migrate(t.Context())
		for _, err := range []error{db.Ready(t.Context()), err} {
			if !errors.Is(err, workshop.ErrNotReady) || !strings.Contains(err.Error(), "run a newer windingroom") {
				t.Errorf("got %v", err)
			}
		}
	})
}

func TestSQLitePaths(t *testing.T) {
	for _, name := range []string{"plain.db", "with blank.db", "a?mode=memory.db", "a#b.db", "100%25.db", "a&b=c;d.db", "ü.db", ":memory:"} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), name)
			db := migrated(t, "sqlite:"+path)
			fill(t, db)
			if info, err := os.Stat(path); err != nil || info.Size() == 0 {
				t.Errorf("no file of that name: %v", err)
			}
			same(t, "order codes", 2)(len(answered(t, db, workshop.Reader.OrderCodes)), nil)
		})
	}
}

func TestRelativePath(t *testing.T) {
	t.Chdir(t.TempDir())
	migrated(t, "sqlite:shop.db")
	if _, err := os.Stat("shop.db"); err != nil {
		t.Error(err)
	}
}

func TestOpenRefuses(t *testing.T) {
	dir := t.TempDir()
	text := filepath.Join(dir, "text.db")
	if err := os.WriteFile(text, []byte(strings.Repeat("no database at all ", 100)), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct{ address, says string }{
		{"mysql://x", "must be sqlite:PATH or postgres://"},
		{"shop.db", "must be sqlite:PATH or postgres://"},
		{"sqlite:", "names no file"},
		{"sqlite:" + filepath.Join(dir, "none", "shop.db"), "unable to open"},
		{"sqlite:" + text, "damaged or is no database"},
		{"postgres://nobody@127.0.0.1:1/none?connect_timeout=2", "the database at 127.0.0.1:1 does not answer"},
	} {
		db, err := store.Open(t.Context(), tt.address)
		if err == nil {
			db.Close()
		}
		if err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: %v, want %q", tt.address, err, tt.says)
		}
	}
}

func TestBothDatabasesHaveTheSameTablesAndColumns(t *testing.T) {
	columns := map[string][]string{}
	onBoth(t, func(t *testing.T, db *store.DB) {
		dialect, query := "sqlite", `SELECT t.name || '.' || c.name FROM sqlite_master t JOIN pragma_table_info(t.name) c
			WHERE t.type = 'table' AND t.name NOT LIKE 'sqlite_%' AND t.name <> 'goose_db_version' ORDER BY 1`
		if !db.IsSQLite() {
			dialect, query = "postgres", `SELECT table_name || '.' || column_name FROM information_schema.columns
				WHERE table_schema = 'public' AND table_name <> 'goose_db_version' ORDER BY 1`
		}
		var list []string
		if err := db.Raw().Raw(query).Scan(&list).Error; err != nil {
			t.Fatal(err)
		}
		slices.Sort(list)
		columns[dialect] = list
	})
	if len(columns) == 2 && !slices.Equal(columns["sqlite"], columns["postgres"]) {
		t.Errorf("sqlite:\n%s\npostgres:\n%s", strings.Join(columns["sqlite"], "\n"), strings.Join(columns["postgres"], "\n"))
	}
	if len(columns["sqlite"]) < 100 {
		t.Errorf("only %d columns", len(columns["sqlite"]))
	}
}
