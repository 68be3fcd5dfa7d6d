//go:build !cgo

package main

import (
	"fmt"
	"os"
)

// Without cgo the SQLite driver is a stub that fails at its first use; saying so at once is kinder.
func init() {
	fmt.Fprintln(os.Stderr, "windingroom: this build has no SQLite: it was made without a C compiler. Install gcc and build again with CGO_ENABLED=1.")
	os.Exit(1)
}
