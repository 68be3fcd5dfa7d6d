package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
	"windingroom/testdata/scenario"
)

// TestLargeBooksStream writes the books of a month with 200 000 movements in a program of its own, whose memory stays within 100 MiB.
func TestLargeBooksStream(t *testing.T) {
	if _, err := os.Stat("/proc/self/status"); err != nil {
		t.Skip("needs the peak of a process's memory from /proc")
	}
	const movements, most = 200_000, 100 << 10 // KiB
	r := newRoom(t)
	dir := t.TempDir()
	if err := os.CopyFS(dir, scenario.Files); err != nil {
		t.Fatal(err)
	}
	r.run("import", dir)
	moveOften(t, r, movements)
	out := filepath.Join(t.TempDir(), "books.xlsx")
	started := time.Now()
	peak := peakOf(t, "books", "--month", "2026-02", "--out", out, "--database", r.database)
	if peak > most {
		t.Errorf("%d KiB at its peak, at most %d", peak, most)
	}
	info, err := os.Stat(out)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d movements: %d KiB at its peak, %s, a file of %d KiB", movements, peak, time.Since(started).Round(time.Millisecond), info.Size()>>10)

	book, err := excelize.OpenFile(out)
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	rows, err := book.Rows("Movements")
	if err != nil {
		t.Fatal(err)
	}
	n := -1 // the header
	for rows.Next() {
		n++
	}
	if n < movements {
		t.Errorf("%d movements in the workbook", n)
	}
}

// moveOften posts so many movements in February: a milligram written off each time.
func moveOften(t *testing.T, r room, movements int) {
	t.Helper()
	ctx := context.Background()
	db, err := store.Open(ctx, r.database)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	first, err := calendar.ParseDate("2026-02-01")
	if err != nil {
		t.Fatal(err)
	}
	err = db.InTx(ctx, func(tx workshop.Tx) error {
		spools, err := tx.Spools()
		if err != nil {
			return err
		}
		var able []stock.Balance
		for _, b := range spools {
			if b.Mass > 100*measure.Gram && b.ReceivedOn < first {
				able = append(able, b)
			}
		}
		moves := make([]stock.Movement, movements)
		for i := range moves {
			b := &able[i%len(able)]
			on := first + calendar.Date(i*28/movements)
			moves[i] = stock.Movement{Spool: b.Code, Kind: stock.WriteOff, Mass: -1, Cost: b.CostOf(-1), EffectiveOn: on, EffectiveAt: on.Time().Add(12 * time.Hour),
				PostedAt: on.Time().Add(13 * time.Hour), Person: "Ada Quill", Reason: fmt.Sprintf("kinked end %d", i), Source: "bench"}
			b.Value += moves[i].Cost
			b.Mass--
		}
		_, err = tx.Post(moves)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// peakOf runs the program and gives the most memory that it had resident, in KiB. The kernel's own count for a child begins with its
// parent's, so the child is looked at while it runs; the peak it reports never falls.
func peakOf(t *testing.T, args ...string) (peak int) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), self, args...)
	cmd.Env = append(os.Environ(), asProgram+"=1")
	var errs strings.Builder
	cmd.Stderr = &errs
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	for {
		if now := highWater(cmd.Process.Pid); now > peak {
			peak = now
		}
		select {
		case err := <-ended:
			if err != nil || peak == 0 {
				t.Fatalf("%v, %d KiB: %s", err, peak, errs.String())
			}
			return peak
		case <-time.After(5 * time.Millisecond):
		}
	}
}

func highWater(pid int) int {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return 0
	}
	_, rest, found := strings.Cut(string(status), "VmHWM:")
	if !found {
		return 0
	}
	kib, _ := strconv.Atoi(strings.Fields(rest)[0])
	return kib
}
