package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestWithoutCompiler: a program built without a C compiler has no SQLite; it says so at once instead of failing later.
func TestWithoutCompiler(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program once more")
	}
	bin := filepath.Join(t.TempDir(), "windingroom")
	build := exec.CommandContext(t.Context(), "go", "build", "-o", bin, ".")
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	out, err := exec.CommandContext(t.Context(), bin, "stock").CombinedOutput()
	if err == nil || !strings.Contains(string(out), "Install gcc") {
		t.Errorf("%v: %s", err, out)
	}
}
