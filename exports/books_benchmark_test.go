package exports

import (
	"archive/zip"
	"bufio"
	"fmt"
	"html"
	"io"
	"strconv"
	"testing"
	"time"

	"windingroom/internal/workshop"
)

// manyMovements are books whose ledger moved so often in the month.
func manyMovements(n int) *workshop.Books {
	b := smallBooks()
	var line workshop.LedgerLine
	_ = b.Movements(func(l workshop.LedgerLine) error { line = l; return nil })
	b.Movements = func(do func(workshop.LedgerLine) error) error {
		for i := range n {
			line.ID += 1
			line.Reason = fmt.Sprintf("%d strings wound by Ada", i%40)
			line.Source = fmt.Sprintf("batch B2602%02d-%02d", i%28+1, i%90)
			if err := do(line); err != nil {
				return err
			}
		}
		return nil
	}
	return b
}

// BenchmarkBooks writes the books of a month with 200 000 movements and, in the same rounds, its movements by hand: as the bare XML of a sheet,
// compressed, and as CSV. The ratios are what to look at.
func BenchmarkBooks(b *testing.B) {
	books := manyMovements(200_000)
	moves := ledgerBook{books}.movements()
	var book, byHand, asCSV time.Duration
	timed := func(sum *time.Duration, write func() error) {
		start := time.Now()
		if err := write(); err != nil {
			b.Fatal(err)
		}
		*sum += time.Since(start)
	}
	b.ReportAllocs()
	for b.Loop() {
		timed(&book, func() error { return Books(io.Discard, books) })
		b.StopTimer()
		timed(&byHand, func() error { return writeSheetByHand(moves) })
		timed(&asCSV, func() error { return moves.writeCSV(io.Discard) })
		b.StartTimer()
	}
	b.ReportMetric(float64(book)/float64(byHand), "x-by-hand")
	b.ReportMetric(float64(book)/float64(asCSV), "x-csv")
}

// writeSheetByHand writes the XML of a sheet and compresses it, as the library does.
func writeSheetByHand(t bookTable) error {
	archive := zip.NewWriter(io.Discard)
	file, err := archive.Create("xl/worksheets/sheet1.xml")
	if err != nil {
		return err
	}
	out := bufio.NewWriterSize(file, 1<<16)
	_, _ = out.WriteString(`<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>`)
	row := 1
	err = t.rows(func(values []any) error {
		row++
		_, _ = out.WriteString(`<row r="` + strconv.Itoa(row) + `">`)
		for c, v := range values {
			value, err := cellValue(v)
			if err != nil {
				return err
			}
			reference := string(rune('A'+c)) + strconv.Itoa(row)
			switch v := value.(type) {
			case string:
				_, _ = out.WriteString(`<c r="` + reference + `" s="1" t="inlineStr"><is><t>` + html.EscapeString(v) + `</t></is></c>`)
			case int:
				_, _ = out.WriteString(`<c r="` + reference + `" s="2"><v>` + strconv.Itoa(v) + `</v></c>`)
			case float64:
				_, _ = out.WriteString(`<c r="` + reference + `" s="3"><v>` + strconv.FormatFloat(v, 'f', -1, 64) + `</v></c>`)
			}
		}
		_, err := out.WriteString(`</row>`)
		return err
	})
	if err != nil {
		return err
	}
	_, _ = out.WriteString(`</sheetData></worksheet>`)
	if err := out.Flush(); err != nil {
		return err
	}
	return archive.Close()
}
