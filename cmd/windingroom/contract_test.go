package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"windingroom/testdata/scenario"
)

// room is one shop's database, worked through the command line.
type room struct {
	t        testing.TB
	database string
}

func newRoom(t testing.TB) room {
	t.Helper()
	t.Setenv("WINDINGROOM_DATABASE", "")
	return room{t, "sqlite:" + filepath.Join(t.TempDir(), "shop.db")}
}

// run runs a command that must be done and gives its standard output.
func (r room) run(args ...string) []byte {
	r.t.Helper()
	var out, errs bytes.Buffer
	if code := run(context.Background(), append(args, "--database", r.database), strings.NewReader(""), &out, &errs); code != done {
		r.t.Fatalf("windingroom %s: status %d: %s", strings.Join(args, " "), code, errs.String())
	}
	return out.Bytes()
}

func (r room) plan(args ...string) planDoc {
	r.t.Helper()
	var doc planDoc
	if err := json.Unmarshal(r.run(append([]string{"plan", "--json"}, args...)...), &doc); err != nil {
		r.t.Fatal(err)
	}
	return doc
}

func estimateWith(t testing.TB, r room) func(string) []byte {
	return func(body string) []byte {
		t.Helper()
		var out, errs bytes.Buffer
		if code := run(context.Background(), []string{"estimate", "--database", r.database}, strings.NewReader(body), &out, &errs); code != done {
			t.Fatalf("estimate %s: %s", body, errs.String())
		}
		return out.Bytes()
	}
}

// TestScenarioDay takes the invented shop through its day by the command line and re-checks everything from its files.
func TestScenarioDay(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, scenario.Files); err != nil {
		t.Fatal(err)
	}
	checkDay(t, scenario.Files, dir, scenario.Day)
}

// checkDay imports a folder, plans and releases a day and re-checks plan, stock, workbook and books. It gives the plan.
func checkDay(t *testing.T, folder fs.FS, dir, date string) planDoc {
	t.Helper()
	r := newRoom(t)
	r.run("import", dir)
	proposed := r.plan("--date", date)
	again := r.plan("--date", date)
	released := r.plan("--date", date, "--release")
	if !released.Released || proposed.Released {
		t.Errorf("released: %v and %v", proposed.Released, released.Released)
	}
	proposed.Released, again.Released = true, true
	if !sameJSON(t, proposed, released) || !sameJSON(t, proposed, again) {
		t.Error("the same input gave another plan")
	}
	drawn := newChecker(t, folder).check(released, estimateWith(t, r))
	checkStock(t, r, folder, drawn)
	checkSheets(t, r, released, date)
	r.run("verify")
	return released
}

func sameJSON(t *testing.T, a, b any) bool {
	t.Helper()
	x, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	y, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	return bytes.Equal(x, y)
}

// checkStock compares the stock with what was received and what the plan has allocated.
func checkStock(t *testing.T, r room, folder fs.FS, drawn map[string]int64) {
	t.Helper()
	var list struct {
		Spools []struct {
			Spool     string  `json:"spool"`
			Wire      string  `json:"wire"`
			Lot       string  `json:"lot"`
			Mass      int64   `json:"mass_mg"`
			Cost      float64 `json:"cost"`
			Allocated int64   `json:"allocated_mg"`
			Free      int64   `json:"free_mg"`
			Remnant   bool    `json:"remnant"`
		} `json:"spools"`
	}
	if err := json.Unmarshal(r.run("stock", "--json"), &list); err != nil {
		t.Fatal(err)
	}
	c := newChecker(t, folder)
	if len(list.Spools) != len(c.spools) {
		t.Fatalf("%d spools, %d imported", len(list.Spools), len(c.spools))
	}
	for _, s := range list.Spools {
		row := c.spools[s.Spool]
		net := int64(math.Round((number(t, row["gross_g"]) - number(t, row["tare_g"])) * 1000))
		if s.Mass != net || s.Wire != row["wire"] || s.Lot != row["lot"] || s.Cost != number(t, row["cost"]) {
			t.Errorf("spool %s: %+v, imported %v", s.Spool, s, row)
		}
		if s.Allocated != drawn[s.Spool] || s.Free != net-drawn[s.Spool] {
			t.Errorf("spool %s: allocated %d free %d, drawn %d of %d", s.Spool, s.Allocated, s.Free, drawn[s.Spool], net)
		}
		if remnant := float64(net) < number(t, c.wires[s.Wire]["usable_end_g"])*1000; s.Remnant != remnant {
			t.Errorf("spool %s: remnant %v", s.Spool, s.Remnant)
		}
	}
}

// checkSheets opens the workbook and compares its sums with the plan.
func checkSheets(t *testing.T, r room, plan planDoc, date string) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "sheets.xlsx")
	r.run("sheets", "--date", date, "--out", file)
	book, err := excelize.OpenFile(file)
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	day, draws := rowsOf(t, book, "Day"), rowsOf(t, book, "Draws")
	pages := map[string]bool{}
	for _, name := range book.GetSheetList() {
		pages[name] = true
	}
	batches, mass, strings_ := 0, int64(0), 0
	for _, m := range plan.Machines {
		for _, b := range m.Batches {
			row := day[batches]
			batches++
			if row["machine"] != m.Machine || row["batch"] != b.Batch || row["recipe"] != b.Recipe ||
				number(t, row["strings_to_wind"]) != float64(b.ToWind) || math.Abs(number(t, row["setup_min"])-b.Setup) > 1e-9 ||
				math.Abs(number(t, row["run_min"])-b.Run) > 1e-9 {
				t.Errorf("Day row %v, plan %+v", row, b)
			}
			if !pages[b.Batch] {
				t.Errorf("no page for batch %s", b.Batch)
			}
			for _, d := range b.Draws {
				mass += d.Mass
				strings_ += d.Strings
			}
		}
	}
	if len(day) != batches {
		t.Errorf("Day has %d rows for %d batches", len(day), batches)
	}
	sheetMass, sheetStrings := int64(0), 0
	for _, row := range draws {
		grams := number(t, row["mass_g"])
		sheetMass += int64(math.Round(grams * 1000))
		sheetStrings += int(number(t, row["strings"]))
		if diff := number(t, row["spool_before_g"]) - number(t, row["spool_after_g"]) - grams; math.Abs(diff) > 1e-9 {
			t.Errorf("Draws row %v: before less after is not the draw", row)
		}
	}
	if sheetMass != mass || sheetStrings != strings_ {
		t.Errorf("Draws add up to %d mg and %d strings, the plan to %d and %d", sheetMass, sheetStrings, mass, strings_)
	}
}

// rowsOf reads a sheet as maps from its header, cells unformatted.
func rowsOf(t *testing.T, book *excelize.File, sheet string) []map[string]string {
	t.Helper()
	records, err := book.GetRows(sheet, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			if i < len(record) {
				row[column] = record[i]
			}
		}
		if row["batch"] != "" {
			rows = append(rows, row)
		}
	}
	return rows
}

// checkBooksBook adds the demo's books up again: what every wire opens with and what moved is what it closes with, the totals are the sums, and
// nothing that was reconciled differs.
func checkBooksBook(t *testing.T, book *excelize.File) {
	t.Helper()
	defer book.Close()
	rows, err := book.GetRows("Roll-forward", excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	totals := rows[len(rows)-1]
	sums := make([]float64, len(totals))
	for _, row := range rows[1 : len(rows)-1] {
		v := make([]float64, max(len(row), 13)) // further columns are welcome
		for c := 1; c < len(row); c++ {
			v[c] = number(t, row[c])
			sums[c] += v[c]
		}
		for _, c := range []int{1, 7} {
			if math.Abs(v[c]+v[c+1]-v[c+2]-v[c+3]+v[c+4]-v[c+5]) > 1e-6 {
				t.Errorf("wire %s does not roll forward: %v", row[0], row)
			}
		}
	}
	for c := 1; c < len(totals); c++ {
		if math.Abs(sums[c]-number(t, totals[c])) > 1e-6 {
			t.Errorf("total of %s is %s, the sum %v", rows[0][c], totals[c], sums[c])
		}
	}
	checks, err := book.GetRows("Checks", excelize.Options{RawCellValue: true})
	if err != nil || len(checks) < 18 {
		t.Fatalf("%d checks, %v", len(checks), err)
	}
	for _, row := range checks[1:] {
		if number(t, row[4]) != 0 {
			t.Errorf("%s: %s off", row[0], row[4])
		}
	}
}

// TestTwoDemos runs the demo twice: the files are there and the plans are the same.
func TestTwoDemos(t *testing.T) {
	t.Setenv("WINDINGROOM_DATABASE", "")
	var outputs [2]string
	for i := range outputs {
		dir := t.TempDir()
		var out, errs bytes.Buffer
		if code := run(context.Background(), []string{"demo", "--once", "--dir", dir}, strings.NewReader(""), &out, &errs); code != done {
			t.Fatalf("status %d: %s", code, errs.String())
		}
		if _, err := os.Stat(filepath.Join(dir, "batch-sheets-"+scenario.Day+".xlsx")); err != nil {
			t.Error(err)
		}
		if book, err := excelize.OpenFile(filepath.Join(dir, "books-2026-02.xlsx")); err != nil {
			t.Error(err)
		} else {
			checkBooksBook(t, book)
		}
		outputs[i] = strings.ReplaceAll(out.String(), dir, strconv.Itoa(0))
	}
	if outputs[0] != outputs[1] {
		t.Errorf("two demos differ:\n%s\n%s", outputs[0], outputs[1])
	}
	if !strings.Contains(outputs[0], "invented") {
		t.Error("the demo does not say that it is invented")
	}
}
