package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"testing"

	"windingroom/internal/testkit"
)

// TestRandomShops takes shops nobody thought of through a day by the command line, each re-checked from its files.
func TestRandomShops(t *testing.T) {
	shops := 12
	if testing.Short() {
		shops = 3
	}
	for seed := range shops {
		t.Run(fmt.Sprintf("seed %d", seed), func(t *testing.T) {
			dir := t.TempDir()
			if err := os.CopyFS(dir, testkit.RandomShop(rand.New(rand.NewPCG(uint64(seed), 42)))); err != nil {
				t.Fatal(err)
			}
			checkDay(t, os.DirFS(dir), dir, "2026-05-11")
		})
	}
}
