package exports

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/stock"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

func labelled(code, lot string, form material.Form) workshop.SpoolLabel {
	return workshop.SpoolLabel{
		Spool: stock.Spool{Code: stock.SpoolCode(code), Wire: "MW-H-17", Lot: lot, ReceivedOn: calendar.NewDate(2026, 3, 16), Gross: 2_850_000, Tare: 350_250, Cost: 6_000, Location: "=rack 2"},
		Alloy: "music wire", Form: form,
	}
}

// labelBook writes labels and opens them again.
func labelBook(t *testing.T, labels []workshop.SpoolLabel) *excelize.File {
	t.Helper()
	var out bytes.Buffer
	if err := SpoolLabels(&out, labels); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(&out)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	return f
}

func TestSpoolLabels(t *testing.T) {
	f := labelBook(t, []workshop.SpoolLabel{
		labelled("S-10", "=L5", material.Form{Section: material.Hex, Size: thous(17)}),
		labelled("0011", "007", material.Form{Section: material.Flat, Size: thous(24), Thickness: thous(12)}),
		labelled("S-12", "L5", material.Form{Section: material.Round, Size: thous(13.5)}),
	})
	testkit.Golden(t, "testdata/labels.txt", dump(t, f))
	for _, cell := range []string{"A2", "N2", "A10"} {
		if pictures, err := f.GetPictures(labelPage(1), cell); err != nil || len(pictures) != 1 {
			t.Errorf("%d bar codes at %s: %v", len(pictures), cell, err)
		}
	}
}

func TestNoSpoolLabels(t *testing.T) {
	if f := labelBook(t, nil); len(f.GetSheetList()) != 1 {
		t.Errorf("sheets %v", f.GetSheetList())
	}
}

func TestLabelsPrintEightToAPage(t *testing.T) {
	const letter = 1
	var labels []workshop.SpoolLabel
	for i := range 2*labelsOnPage + 1 {
		labels = append(labels, labelled(fmt.Sprintf("SPOOL-%02d", i), "AB-26-017", material.Form{Section: material.Hex, Size: thous(17)}))
	}
	f := labelBook(t, labels)
	dir := t.TempDir()
	var books []string
	for name, paper := range map[string]int{"a4": paperA4, "letter": letter} {
		for _, sheet := range f.GetSheetList() {
			if err := f.SetPageLayout(sheet, &excelize.PageLayoutOptions{Size: &paper}); err != nil {
				t.Fatal(err)
			}
		}
		books = append(books, filepath.Join(dir, name+".xlsx"))
		if err := f.SaveAs(books[len(books)-1]); err != nil {
			t.Fatal(err)
		}
	}
	printed := convert(t, "pdf", books...)
	for _, paper := range []string{"a4", "letter"} {
		text := run(t, testkit.Program(t, "pdftotext"), "-layout", filepath.Join(printed, paper+".pdf"), "-")
		pages := strings.Split(strings.TrimSuffix(text, "\f"), "\f")
		if len(pages) != 3 {
			t.Fatalf("%s: %d pages, want 3", paper, len(pages))
		}
		for i, l := range labels {
			for _, want := range []string{string(l.Code), "17.0 thou", "0.432 mm", "2,499.750 g", "350.250 g", "Mon 16 Mar 2026", "AB-26-017", "=rack 2", "across flats"} {
				if !strings.Contains(pages[i/labelsOnPage], want) {
					t.Errorf("%s, page %d lacks %q", paper, i/labelsOnPage+1, want)
				}
			}
		}
		if strings.Contains(text, "###") {
			t.Errorf("%s: a number does not fit its cell", paper)
		}
	}
}
