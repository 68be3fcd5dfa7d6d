package exports

import (
	"bytes"
	"fmt"
	"sort"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"windingroom/internal/batch"
)

// written writes a day's workbook and opens it again.
func written(t testing.TB, day batch.Day) *excelize.File {
	t.Helper()
	var out bytes.Buffer
	if err := BatchSheets(&out, day); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(&out)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	return f
}

// dump prints every cell that holds something as 'sheet!cell = value (type, format)', sorted, then how each sheet prints.
func dump(t testing.TB, f *excelize.File) []byte {
	t.Helper()
	var lines []string
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		for r, row := range rows {
			for c, value := range row {
				if value != "" {
					kind, format := cellKind(t, f, sheet, at(c+1, r+1))
					lines = append(lines, fmt.Sprintf("%s!%s = %q (%s, %s)", sheet, at(c+1, r+1), value, kind, format))
				}
			}
		}
		lines = append(lines, printing(t, f, sheet)...)
	}
	sort.Strings(lines)
	return []byte(strings.Join(lines, "\n") + "\n")
}

func cellKind(t testing.TB, f *excelize.File, sheet, cell string) (kind, format string) {
	t.Helper()
	kinds := map[excelize.CellType]string{
		excelize.CellTypeUnset: "number", excelize.CellTypeNumber: "number", excelize.CellTypeSharedString: "text",
		excelize.CellTypeInlineString: "text", excelize.CellTypeFormula: "formula",
	}
	typ, err := f.GetCellType(sheet, cell)
	if err != nil {
		t.Fatal(err)
	}
	id, err := f.GetCellStyle(sheet, cell)
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.GetStyle(id)
	if err != nil {
		t.Fatal(err)
	}
	format = "general"
	if s.CustomNumFmt != nil {
		format = *s.CustomNumFmt
	} else if s.NumFmt != 0 {
		format = fmt.Sprintf("format %d", s.NumFmt)
	}
	if kind = kinds[typ]; kind == "" {
		kind = fmt.Sprintf("type %d", typ)
	}
	return kind, format
}

func printing(t testing.TB, f *excelize.File, sheet string) []string {
	t.Helper()
	layout, err := f.GetPageLayout(sheet)
	if err != nil {
		t.Fatal(err)
	}
	hf, err := f.GetHeaderFooter(sheet)
	if err != nil {
		t.Fatal(err)
	}
	lines := []string{
		fmt.Sprintf("%s: prints %s, %d wide, %d high", sheet, *layout.Orientation, *layout.FitToWidth, *layout.FitToHeight),
		fmt.Sprintf("%s: print header %q", sheet, hf.OddHeader),
		fmt.Sprintf("%s: print footer %q", sheet, hf.OddFooter),
	}
	for _, n := range f.GetDefinedName() {
		if n.Scope == sheet {
			lines = append(lines, fmt.Sprintf("%s: %s is %s", sheet, n.Name, n.RefersTo))
		}
	}
	return lines
}

// table reads a list sheet as raw values, header row first.
func table(t testing.TB, f *excelize.File, sheet string) [][]string {
	t.Helper()
	rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	return rows
}
