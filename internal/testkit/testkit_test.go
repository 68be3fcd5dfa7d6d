package testkit

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"
)

// recorder is a testing.TB that remembers how its test ended. Fatal and Skip end the goroutine, as the real ones do.
type recorder struct {
	testing.TB
	failed, skipped bool
}

func (r *recorder) Helper()               {}
func (r *recorder) Errorf(string, ...any) { r.failed = true }
func (r *recorder) Fatal(...any)          { r.failed = true; runtime.Goexit() }
func (r *recorder) Fatalf(string, ...any) { r.failed = true; runtime.Goexit() }
func (r *recorder) Skipf(string, ...any)  { r.skipped = true; runtime.Goexit() }

func record(t *testing.T, f func(testing.TB)) *recorder {
	r := &recorder{TB: t}
	done := make(chan struct{})
	go func() { defer close(done); f(r) }()
	<-done
	return r
}

func TestMissingSkipsOnlyOutsideCI(t *testing.T) {
	needs := map[string]func(testing.TB){
		"program":  func(t testing.TB) { Program(t, "no-such-program-anywhere") },
		"postgres": func(t testing.TB) { Postgres(t) },
	}
	t.Setenv("TEST_POSTGRES_DSN", "")
	for name, need := range needs {
		t.Setenv("CI", "")
		if r := record(t, need); !r.skipped || r.failed {
			t.Errorf("%s missing on a developer's machine: %+v, want skipped", name, r)
		}
		t.Setenv("CI", "true")
		if r := record(t, need); r.skipped || !r.failed {
			t.Errorf("%s missing in CI: %+v, want failed", name, r)
		}
	}
}

func TestProgramTakesTheFirstThatExists(t *testing.T) {
	if got := Program(t, "no-such-program-anywhere", "go"); !strings.HasPrefix(filepath.Base(got), "go") {
		t.Errorf("got %s", got)
	}
}

func TestModuleRoot(t *testing.T) {
	if _, err := os.Stat(filepath.Join(ModuleRoot(t), "internal", "testkit", "need.go")); err != nil {
		t.Error(err)
	}
}

func TestGolden(t *testing.T) {
	path := filepath.Join(t.TempDir(), "folder", "page.golden")
	if r := record(t, func(t testing.TB) { Golden(t, path, []byte("a\n")) }); !r.failed {
		t.Error("a golden file that does not exist was accepted")
	}
	*update = true
	Golden(t, path, []byte("a\n"))
	*update = false
	Golden(t, path, []byte("a\n"))
	if r := record(t, func(t testing.TB) { Golden(t, path, []byte("b\n")) }); !r.failed {
		t.Error("a difference was accepted")
	}
}

func TestPostgresGivesEachItsOwnDatabase(t *testing.T) {
	for range 2 {
		t.Run("one", func(t *testing.T) {
			t.Parallel()
			db, err := pgx.Connect(t.Context(), Postgres(t))
			if err != nil {
				t.Fatal(err)
			}
			// The connection stays open on purpose: dropping must not wait for it.
			if _, err := db.Exec(t.Context(), "CREATE TABLE spool (name text)"); err != nil {
				t.Errorf("not empty: %v", err)
			}
		})
	}
}
