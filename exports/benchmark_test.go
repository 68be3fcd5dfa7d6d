package exports

import (
	"encoding/csv"
	"fmt"
	"io"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"windingroom/internal/batch"
)

// fullDay is a busy day: 60 batches.
func fullDay() batch.Day {
	day := smallDay()
	kinds := day.Sheets
	day.Sheets = nil
	for i := range 60 {
		s := kinds[i%len(kinds)]
		s.Code = batch.Code(fmt.Sprintf("260302-%03d", i))
		day.Sheets = append(day.Sheets, s)
	}
	return day
}

// BenchmarkBatchSheets writes a book of 60 batches and, in the same rounds, the same cells without any style: as CSV, and
// as a workbook of bare values, which is the least the library can do. The ratios to both are what to look at.
func BenchmarkBatchSheets(b *testing.B) {
	day := fullDay()
	cells := cellsOf(b, day)
	var book, asCSV, bare time.Duration
	timed := func(sum *time.Duration, write func() error) {
		start := time.Now()
		if err := write(); err != nil {
			b.Fatal(err)
		}
		*sum += time.Since(start)
	}
	b.ReportAllocs()
	for b.Loop() {
		timed(&book, func() error { return BatchSheets(io.Discard, day) })
		b.StopTimer()
		timed(&asCSV, func() error { return writeCSV(cells) })
		timed(&bare, func() error { return writeBare(cells) })
		b.StartTimer()
	}
	n := 0
	for _, rows := range cells {
		for _, row := range rows {
			n += len(row)
		}
	}
	b.ReportMetric(float64(n), "cells")
	b.ReportMetric(float64(book)/float64(asCSV), "x-csv")
	b.ReportMetric(float64(book)/float64(bare), "x-bare-workbook")
}

func cellsOf(b *testing.B, day batch.Day) [][][]string {
	f := written(b, day)
	var cells [][][]string
	for _, sheet := range f.GetSheetList() {
		cells = append(cells, table(b, f, sheet))
	}
	return cells
}

func writeCSV(cells [][][]string) error {
	w := csv.NewWriter(io.Discard)
	for _, rows := range cells {
		if err := w.WriteAll(rows); err != nil {
			return err
		}
	}
	return nil
}

func writeBare(cells [][][]string) error {
	f := excelize.NewFile()
	defer f.Close()
	for i, rows := range cells {
		sheet := fmt.Sprintf("S%d", i)
		if _, err := f.NewSheet(sheet); err != nil {
			return err
		}
		for r, row := range rows {
			for c, v := range row {
				if v != "" {
					if err := f.SetCellStr(sheet, at(c+1, r+1), v); err != nil {
						return err
					}
				}
			}
		}
	}
	_, err := f.WriteTo(io.Discard)
	return err
}
