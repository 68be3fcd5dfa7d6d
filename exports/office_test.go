package exports

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"windingroom/internal/batch"
	"windingroom/internal/testkit"
)

// Another program opens, prints and re-reads the workbook: what it makes of the file is what a shop gets.

const csvOfEverySheet = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1"

// convert lets LibreOffice convert workbooks, and gives the folder of what it made. It has a profile of its own, so that it
// neither meets nor disturbs one that is open.
func convert(t *testing.T, to string, books ...string) string {
	t.Helper()
	program, dir := testkit.LibreOffice(t), t.TempDir()
	args := []string{"-env:UserInstallation=file://" + filepath.ToSlash(t.TempDir()), "--headless", "--norestore", "--convert-to", to, "--outdir", dir}
	run(t, program, append(args, books...)...)
	return dir
}

// run runs a program for at most two minutes and gives its output.
func run(t *testing.T, program string, args ...string) string {
	t.Helper()
	ctx, stop := context.WithTimeout(t.Context(), 2*time.Minute)
	defer stop()
	cmd := exec.CommandContext(ctx, program, args...)
	cmd.WaitDelay = 5 * time.Second // it hands the work to a child that may hold the output open
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s: %v\n%s", program, err, out)
	}
	return string(out)
}

// saved writes a day's workbook into a file, as the shop's paper is.
func saved(t *testing.T, name string, day batch.Day, paper int) string {
	t.Helper()
	f := written(t, day)
	for _, sheet := range f.GetSheetList() {
		if err := f.SetPageLayout(sheet, &excelize.PageLayoutOptions{Size: &paper}); err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join(t.TempDir(), name)
	if err := f.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	return path
}

// fullSheet is the fullest batch that still has to fit on one page: three wraps, five spools, six orders.
func fullSheet() batch.Sheet {
	s := bassSheet()
	s.Code = "260302-bench-2-01"
	s.Wraps = append(s.Wraps, wrap(s.Wraps[0], 3900))
	s.Spools = append(s.Spools, spool("323", "NI-F-12.0", "HP-0082", "rack D4", 3, 24_332, 90_000, 912_000), spool("324", "SS-R-9.0", "HP-0090", "rack D1", 7, 25_900, 1_000_000, 250_000))
	for i := range 5 {
		s.For = append(s.For, serves("O-26-12"+strconv.Itoa(i), 1, 3, 1, "Long Room Instrument Repairers", "D2", s.Date))
	}
	return s
}

func TestPrintsOnePageABatch(t *testing.T) {
	const letter = 1
	day := smallDay()
	day.Sheets = append(day.Sheets, fullSheet())
	want := []struct{ words []string }{
		{[]string{"Quay & Lantern Strings", "Plan of the day", "strings_to_wind", "260302-long-bed-01", "1:09"}},
		{[]string{"Wire to draw", "spool_before_g", "NPS-R-13.5", "5,240.600"}},
		{[]string{"Batch 260302-bench-1-01", "Eye protection", "Nickel may sensitise", "Marrow Street Guitars", "877.7", "5,774.8", "Mon 2 Mar 2026"}},
		{[]string{"Batch 260302-bench-1-02", "41 % of its breaking load", "Wrap 2", "12 thou", "8,655.2", "up to 8.7 kg"}},
		{[]string{"Batch 260302-long-bed-01", "plain", "246.94 Hz", "planning figures"}},
		{[]string{"Batch 260302-bench-2-01", "Wrap 3", "O-26-124", "then 2", "Page 6 of 6"}},
	}
	dir := convert(t, "pdf", saved(t, "a4.xlsx", day, paperA4), saved(t, "letter.xlsx", day, letter))
	for _, paper := range []string{"a4", "letter"} {
		text := run(t, testkit.Program(t, "pdftotext"), "-layout", filepath.Join(dir, paper+".pdf"), "-")
		pages := strings.Split(strings.TrimSuffix(text, "\f"), "\f")
		if len(pages) != len(want) {
			t.Fatalf("%s: %d pages, want %d", paper, len(pages), len(want))
		}
		for i, page := range want {
			for _, w := range page.words {
				if !strings.Contains(pages[i], w) {
					t.Errorf("%s, page %d lacks %q:\n%s", paper, i+1, w, pages[i])
				}
			}
			if strings.Contains(pages[i], "###") {
				t.Errorf("%s, page %d has a number that its cell is too narrow for", paper, i+1)
			}
		}
	}
}

func TestAnotherProgramReadsTheSameValues(t *testing.T) {
	day := smallDay()
	for i, word := range []string{"=1+1", "-1+1", "@x", "007", "1e5", "_x0041_"} {
		day.Sheets[i%3].Spools = append(day.Sheets[i%3].Spools, spool("9", word, word, word, 1, 1, 1_000_001, 3))
	}
	path := saved(t, "day.xlsx", day, paperA4)
	dir := convert(t, csvOfEverySheet, path)
	for sheet, columns := range map[string]int{dayName: len(dayColumns), drawsName: len(drawColumns)} {
		got := readCSV(t, filepath.Join(dir, "day-"+sheet+".csv"))
		want := table(t, written(t, day), sheet)
		if len(got) != len(want) {
			t.Fatalf("%s: %d rows, want %d", sheet, len(got), len(want))
		}
		for r := range want {
			for c := range columns {
				if g, w := got[r][c], want[r][c]; g != w && (r == 0 || sheet != dayName || clock(t, g) != inDays(t, w)) {
					t.Errorf("%s!%s read as %q, want %q", sheet, at(c+1, r+1), g, w)
				}
			}
		}
	}
}

func readCSV(t *testing.T, path string) [][]string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// clock reads an elapsed time below a day as LibreOffice writes it out, 01:09:36 AM.
func clock(t *testing.T, text string) string {
	t.Helper()
	v, err := time.Parse("03:04:05 PM", text)
	if err != nil {
		return fmt.Sprintf("%q is no time", text)
	}
	return v.Format(time.TimeOnly)
}

// inDays writes a share of a day as a time.
func inDays(t *testing.T, text string) string {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return err.Error()
	}
	return time.Time{}.Add(time.Duration(v * float64(24*time.Hour)).Round(time.Second)).Format(time.TimeOnly)
}
