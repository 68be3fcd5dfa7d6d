package exports

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
	"windingroom/internal/stock"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

const february = costing.Period(2026*12 + 1)

func qty(mg measure.Mass, cents money.Minor) costing.Quantity {
	return costing.Quantity{Mass: mg, Cost: cents}
}

// smallBooks are books with one of everything, and with texts that a spreadsheet program would take for formulas.
func smallBooks() *workshop.Books {
	day := calendar.NewDate(2026, time.February, 11)
	lines := []costing.RollLine{
		{Wire: "MW-R-10.5", Formula: costing.FIFO, Opening: qty(100_001, 566), Received: qty(500_000, 2825), Drawn: qty(7, 1), Scrap: qty(0, 0),
			Difference: qty(-100, -2), Used: 1, Closing: qty(599_894, 3388)},
		{Wire: "=1+1", Formula: costing.Specific, Opening: qty(3, 0), Closing: qty(3, 0)},
	}
	chosen := append([]costing.RollLine(nil), lines...)
	chosen[0].Revalued, chosen[0].Closing = qty(0, 2), qty(599_894, 3390)
	roll := costing.Roll{From: february, To: february, Lines: lines}
	accounts := costing.Accounts{Wire: "1310", NotInvoiced: "2310", Winding: "1320", Scrap: "5310", Difference: "5330", Revaluation: "5340", PriceDifference: "5350"}
	byMethod := costing.Roll{From: february, To: february, Lines: chosen}
	moves := []workshop.LedgerLine{
		{Movement: stock.Movement{ID: 7, Spool: "S1", Kind: stock.Receipt, Mass: 500_000, Cost: 2825, EffectiveOn: day, PostedAt: day.Time().Add(9 * time.Hour),
			Person: "@ada", Reason: "=cmd|' /C x'!A0", Source: "delivery D-1"}, Wire: "MW-R-10.5", Lot: "-L1"},
		{Movement: stock.Movement{ID: 8, Spool: "S1", Kind: stock.Reversal, Mass: -7, Cost: -1, EffectiveOn: day + 1, PostedAt: day.Time().Add(30 * time.Hour),
			Person: "+bo", Reason: "_x0041_", Source: "batch B1", Reverses: 5}, Wire: "MW-R-10.5", Lot: "-L1", Reversed: stock.Draw},
	}
	held := workshop.HeldSpool{Days: 200}
	held.Code, held.Wire, held.Lot, held.Mass, held.Value, held.ReceivedOn, held.UsableEnd = "S1", "MW-R-10.5", "-L1", 599_894, 3388, day-183, 600_000
	b := &workshop.Books{
		Shop: "Quay & Lantern Strings", Currency: "EUR", From: february, To: february, PerHour: 3400,
		Roll: roll, Months: []costing.Roll{roll}, ByMethod: byMethod,
		Valuations: []costing.Valuation{{Wire: "MW-R-10.5", Mass: 599_894, Value: costing.Costs{Specific: 3388, FIFO: 3390, MovingAverage: 3389}}},
		Wires:      map[material.WireCode]material.Wire{"MW-R-10.5": {Code: "MW-R-10.5", Alloy: "music-wire"}},
		Purchases:  []workshop.PurchaseLine{{LedgerLine: moves[0], Bought: workshop.Bought{Supplier: "ashdell", Purchase: "P1", WireCost: 2800, Expected: 2750}}},
		Unmatched:  []workshop.NotInvoiced{{Purchase: "P1", Supplier: "ashdell", LastOn: day, Mass: 500_000, Received: 2825, Invoiced: 1000}},
		Orders: []workshop.OrderCost{{Order: "O-1", Line: 1, Position: 2, Recipe: catalog.RecipeCode("P-10.5"), Scale: 647_700_000, Time: 95 * time.Second, Standard: 55,
			StringCost: costing.StringCost{Strings: 2, Wire: 1, NormalScrap: 3, Labour: 54}}},
		Variances: []costing.Variance{{Kind: costing.PriceVariance, Amount: -3, Batch: "B1", Recipe: "P-10.5", Machine: "bench-1", Person: "=Ada", Wire: "MW-R-10.5", Lot: "-L1"}},
		Journal:   accounts.Roll(byMethod),
		Held:      []workshop.HeldSpool{held},
		Slow:      []workshop.SlowWire{{Wire: "MW-R-10.5", Held: qty(599_894, 3388), LastDrawn: day - 190, Days: 190}},
		Checks:    []workshop.Check{{What: "opening and what moved give the closing", Mass: true, Books: 599_897, Against: 599_897}, {What: "the same in money", Books: 3388, Against: 3388}},
	}
	b.Movements = func(do func(workshop.LedgerLine) error) error {
		for _, m := range moves {
			if err := do(m); err != nil {
				return err
			}
		}
		return nil
	}
	return b
}

func writtenBooks(t testing.TB, b *workshop.Books) *excelize.File {
	t.Helper()
	var out bytes.Buffer
	if err := Books(&out, b); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(&out)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	return f
}

func TestBooksCells(t *testing.T) {
	testkit.Golden(t, "testdata/books.txt", dump(t, writtenBooks(t, smallBooks())))
}

// The sheets and columns that outside checks read.
func TestBooksHaveTheContractsColumns(t *testing.T) {
	f := writtenBooks(t, smallBooks())
	want := map[string]string{
		"Roll-forward": "wire opening_g received_g drawn_g scrap_g difference_g closing_g opening_cost received_cost drawn_cost scrap_cost difference_cost closing_cost",
		"Valuation":    "wire mass_g specific fifo moving_average",
		"Journal":      "date account debit credit text source",
		"Checks":       "check unit books against difference",
		"Movements":    "date movement", "Purchases": "date kind", "Order cost": "order line position", "Variance": "kind batch",
	}
	for sheet, columns := range want {
		if header := strings.Join(table(t, f, sheet)[0], " "); !strings.HasPrefix(header, columns) {
			t.Errorf("%s has the columns %s", sheet, header)
		}
	}
}

func TestBooksCSV(t *testing.T) {
	files := map[string]*bytes.Buffer{}
	err := BooksCSV(smallBooks(), func(name string) (io.WriteCloser, error) {
		files[name] = &bytes.Buffer{}
		return nopCloser{files[name]}, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for name, file := range files {
		if bytes.Count(file.Bytes(), []byte("\n")) != bytes.Count(file.Bytes(), []byte("\r\n")) {
			t.Errorf("%s has lines that end without CR", name)
		}
		rows, err := csv.NewReader(file).ReadAll()
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
		for _, row := range rows {
			for _, field := range row {
				if field == "" || !strings.ContainsRune("=+-@", rune(field[0])) {
					continue
				}
				if _, err := strconv.ParseFloat(field, 64); err != nil {
					t.Errorf("%s holds %q", name, field)
				}
			}
		}
		if name == "movements.csv" {
			want := []string{"2026-02-11", "7", "MW-R-10.5", "S1", "'-L1", "receipt", "500.000", "28.25", "", "delivery D-1", "'@ada", "'=cmd|' /C x'!A0", "2026-02-11T09:00:00Z"}
			if got := rows[1]; strings.Join(got, "|") != strings.Join(want, "|") {
				t.Errorf("got %q", got)
			}
		}
	}
	if len(files) != 15 {
		t.Errorf("%d files", len(files))
	}
}

type nopCloser struct{ io.Writer }

func (nopCloser) Close() error { return nil }

func TestABrokenDiskIsNoWorkbook(t *testing.T) {
	if err := Books(brokenWriter{}, smallBooks()); err == nil {
		t.Error("nothing was written and nothing said")
	}
	b := smallBooks()
	b.Movements = func(func(workshop.LedgerLine) error) error { return os.ErrDeadlineExceeded }
	if err := Books(io.Discard, b); err == nil {
		t.Error("a ledger that cannot be read was written")
	}
}

// Another program opens the workbook, adds it up again with formulas of its own, and agrees with every total to the digit.
func TestAnotherProgramAddsTheBooksUp(t *testing.T) {
	f := writtenBooks(t, smallBooks())
	if _, err := f.NewSheet("Again"); err != nil {
		t.Fatal(err)
	}
	type sum struct {
		name, formula string
		want          float64
	}
	sums := []sum{
		{"movements in milligrams", "ROUND(SUM(Movements.G2:G3)*1000,0)", 499_993},
		{"movements in cents", "ROUND(SUM(Movements.H2:H3)*100,0)", 2824},
		{"texts of movements", "ISTEXT(Movements.L2)+ISTEXT(Movements.K2)+ISTEXT(Movements.E2)", 3},
		{"the day after", "Movements.A2+1=DATE(2026,2,12)", 1},
		{"debits less credits", "ROUND(SUM($Journal.C2:C99)-SUM($Journal.D2:D99),2)", 0},
		{"differences", "SUMPRODUCT(ABS($Checks.E2:E3))", 0},
		{"valuation", "ROUND(($Valuation.C3+$Valuation.D3+$Valuation.E3)*100,0)", 3388 + 3390 + 3389},
	}
	for c, column := range "BCDEFGHIJKLM" {
		unit := 1000
		if c >= 6 {
			unit = 100
		}
		sums = append(sums, sum{"total of " + string(column), fmt.Sprintf("ROUND((SUM('Roll-forward'.%[1]c2:%[1]c3)-'Roll-forward'.%[1]c4)*%[2]d,0)", column, unit), 0})
	}
	for r := 2; r <= 3; r++ {
		sums = append(sums, sum{fmt.Sprintf("row %d", r), fmt.Sprintf("ROUND(('Roll-forward'.B%[1]d+'Roll-forward'.C%[1]d-'Roll-forward'.D%[1]d-'Roll-forward'.E%[1]d+'Roll-forward'.F%[1]d-'Roll-forward'.G%[1]d)*1000,0)", r), 0})
	}
	for i, s := range sums {
		formula := strings.NewReplacer("'Roll-forward'.", "'Roll-forward'!", "Movements.", "Movements!", "$Journal.", "Journal!", "$Checks.", "Checks!", "$Valuation.", "Valuation!").Replace(s.formula)
		if err := f.SetCellFormula("Again", at(1, i+1), formula); err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join(t.TempDir(), "books.xlsx")
	if err := f.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	dir := convert(t, csvOfEverySheet, path)
	got := readCSV(t, filepath.Join(dir, "books-Again.csv"))
	for i, s := range sums {
		text := strings.NewReplacer("TRUE", "1", "FALSE", "0").Replace(got[i][0])
		if v, err := strconv.ParseFloat(text, 64); err != nil || v != s.want {
			t.Errorf("%s: %q, want %v", s.name, got[i][0], s.want)
		}
	}
	moves := readCSV(t, filepath.Join(dir, "books-Movements.csv"))
	if moves[1][11] != "=cmd|' /C x'!A0" || moves[1][10] != "@ada" || moves[2][11] != "_x0041_" || moves[1][4] != "-L1" {
		t.Errorf("texts were read as %q", moves[1:])
	}
}
