// Package testkit holds what tests share: programs and servers that a test needs, golden files, the module's own folder.
// Only tests import it.
//
// What is missing on a developer's machine skips the test that needs it. In continuous integration (CI=true) it fails the
// test instead, so that nothing is left untested by accident.
package testkit

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// missing skips the test, or fails it in continuous integration.
func missing(t testing.TB, format string, args ...any) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf(format, args...)
	}
	t.Skipf(format, args...)
}

// Program gives the path of a program, the first of the names that is installed. Without any the test is skipped, or fails
// in continuous integration.
func Program(t testing.TB, name string, otherNames ...string) string {
	t.Helper()
	for _, n := range append([]string{name}, otherNames...) {
		if path, err := exec.LookPath(n); err == nil {
			return path
		}
	}
	missing(t, "needs the program %s", name)
	return ""
}

// Chromium gives the path of the browser in which pages are tried, as Program does.
func Chromium(t testing.TB) string {
	t.Helper()
	return Program(t, "chromium", "chromium-browser", "google-chrome")
}

// LibreOffice gives the path of the program that recalculates and prints workbooks, as Program does.
func LibreOffice(t testing.TB) string {
	t.Helper()
	return Program(t, "soffice", "libreoffice")
}

// systemPython is Debian's interpreter, the one that sees the distribution's own packages.
const systemPython = "/usr/bin/python3"

// Python gives the path of the system's Python where it can import a module, as Program does.
func Python(t testing.TB, module string) string {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	if err := exec.CommandContext(ctx, systemPython, "-c", "import "+module).Run(); err != nil {
		missing(t, "needs %s with the module %s", systemPython, module)
	}
	return systemPython
}

// ModuleRoot gives the folder that holds go.mod, found upwards from the folder of the package under test.
func ModuleRoot(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		parent := filepath.Dir(dir)
		if parent == dir {
			t.Fatal("no go.mod above the working folder")
		}
		dir = parent
	}
}
